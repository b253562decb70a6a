// SPDX-License-Identifier: Apache-2.0
// A drop-off as JSON: what is taken is plausible and reads back the same after it is written.
#include "daemon/store/drop_off.h"

#include <cmath>
#include <optional>

#include "daemon/store/json.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

// Stated in drop_off.h.
constexpr std::size_t text_max = 2000;
constexpr std::size_t serial_max = 64;

template <class T>
bool same(const std::optional<Rating<T>>& a, const std::optional<Rating<T>>& b) {
  if (!a || !b) return a.has_value() == b.has_value();
  // Minutes and ampere-hours pass through seconds and coulombs, which costs a last digit.
  return a->standard == b->standard &&
         std::abs(a->value.si() - b->value.si()) <= 1e-12 * std::abs(a->value.si());
}

std::string written(const DropOff& drop) {
  return R"({"battery":{"serial":)" + json_string(drop.serial) + "," + to_json(drop.nameplate).substr(1) +
         R"(,"story":{"complaint":)" + json_string(drop.story.complaint) + R"(,"monitor_report":)" +
         json_string(drop.story.monitor_report) + R"(},"procedures":)" + strings_json(drop.procedures) + "}";
}

void check_taken(const DropOff& drop) {
  promise(!drop.serial.empty() && drop.serial.size() <= serial_max, "a battery has a serial");
  promise(implausible(drop.nameplate).empty(), "an implausible label is refused");
  for (const auto* text : {&drop.story.complaint, &drop.story.sold_on, &drop.story.monitor_report,
                           &drop.inspection.remarks, &drop.nameplate.size_code}) {
    promise(text->size() <= text_max, "texts are bounded");
    promise(text->find('\0') == std::string::npos, "texts have no control characters");
  }
  const auto again = read_drop_off(written(drop));
  promise(again.has_value(), "what was taken is taken again");
  const Nameplate& plate = drop.nameplate;
  const Nameplate& back = again->nameplate;
  promise(again->serial == drop.serial && back.chemistry == plate.chemistry && back.cells == plate.cells,
          "a battery reads back");
  promise(same(back.cca, plate.cca) && same(back.reserve_capacity, plate.reserve_capacity) &&
              same(back.c20, plate.c20),
          "its ratings read back");
  promise(back.size_code == plate.size_code && back.manufactured_on == plate.manufactured_on &&
              again->story.complaint == drop.story.complaint && again->procedures == drop.procedures,
          "texts read back");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const auto drop = leadwright::read_drop_off(leadwright::text_of(data, size));
  if (drop) {
    leadwright::check_taken(*drop);
    return 0;
  }
  promise(!drop.error().empty(), "a refusal has a reason");
  for (const leadwright::Error& error : drop.error()) {
    promise(error.code == leadwright::Errc::bad_input, "a refusal is bad input");
    promise(!error.what.empty() && !error.mend.empty(), "a reason says what is wrong and how to mend it");
  }
  return 0;
}
