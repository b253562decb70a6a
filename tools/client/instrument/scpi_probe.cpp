// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/scpi_probe.h"

#include <array>

#include "protocol/scpi.h"
#include "tools/client/instrument/line_exchange.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

namespace {

constexpr std::array<Second, 2> patience{Second(1.0), Second(2.0)};

}  // namespace

Task<Result<WhoAnswered>> ScpiProbe::ask(Link& link, Clock& machine) const {
  // No lone line end first, as the driver sends before its safe words: it would complete, and so carry out,
  // what a former owner left half-sent. Glued to a question the same words are an error.
  Result<LineAnswer> answer = fail(Errc::timed_out, "nothing answers", link.name());
  for (const Second time : patience) {
    answer = co_await ask_line(link, machine, question(), time);
    if (answer || answer.error().code != Errc::timed_out) break;
  }
  if (!answer) co_return pass(answer);
  const std::string text(trim_scpi(answer->bytes));
  if (answer->is_complete && read_scpi_identity(text)) co_return WhoAnswered{"SCPI", text};
  const std::string shown = shown_bytes(answer->bytes);
  co_return fail(Errc::garbled, "to *IDN? comes no identity of four fields (" + shown + ")", link.name(),
                 "is this a SCPI instrument? its manual names the port and the speed");
}

}  // namespace leadwright
