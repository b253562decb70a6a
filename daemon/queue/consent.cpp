// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/consent.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/planner.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

/// Our own number: more than any name.
constexpr std::size_t name_bytes_max = 200;

bool is_new(const TicketFile& file) {
  const auto& asked = file.ticket.asked_procedures;
  return std::ranges::find(asked, procedure_name::new_battery) != asked.end() ||
         std::ranges::find(file.runs, procedure_name::new_battery, &Run::procedure) != file.runs.end();
}

}  // namespace

std::string consent_needed(const TicketFile& file, const Procedure& wanted, const Policy& policy) {
  if (!wanted.consent.empty()) return wanted.consent;
  if (policy.complete_discharge != CompleteDischarge::yes && takes_all(wanted.name))
    return "complete discharge";
  return any_step_draws(wanted) && is_new(file) ? "discharge of a new battery" : "";
}

Result<std::string> consent_given(const std::string& needed, const std::string& by, const TicketFile& file,
                                  const Procedure& wanted) {
  std::string name(trimmed(by, " \t"));
  if (needed.empty() && !name.empty()) {
    return fail(Errc::bad_input, fmt::format("the {} needs nobody's consent", wanted.name), "consented_by",
                "start it without a name");
  }
  if (!needed.empty() && name.empty()) {
    return fail(
        Errc::conflict,
        fmt::format("the {} needs the owner's consent ({}), and none is recorded", wanted.name, needed),
        shown(file.ticket.id),
        "ask the owner, then start it with the name of the person who agreed: leadwright place start "
        "PLACE --consented-by NAME");
  }
  if (name.size() > name_bytes_max || !is_clean_text(name)) {
    return fail(Errc::bad_input, "that is no person's name", "consented_by",
                fmt::format("at most {} bytes of plain text", name_bytes_max));
  }
  return name;
}

}  // namespace leadwright
