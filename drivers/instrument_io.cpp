// SPDX-License-Identifier: Apache-2.0
// Outputs and inputs of a box.
#include "drivers/answers.h"
#include "drivers/instrument.h"

namespace leadwright {

namespace {

tl::unexpected<Error> no_such(const char* what, int number, const std::string& name,
                              const std::string& file) {
  return fail(Errc::unsupported, std::string("no ").append(what).append(" ").append(std::to_string(number)),
              name, std::string("see what the profile has: ").append(file));
}

}  // namespace

Task<Result<void>> Instrument::set_output(int output, bool on) {
  if (output < 0 || output >= profile_.outputs.count) {
    co_return no_such("output", output, name_, profile_.file);
  }
  const Output& wanted = outputs_[static_cast<std::size_t>(output)];
  Result<void> done =
      co_await switch_once(wanted.enabling, on, OffGuard{&wanted.off_count, wanted.off_count});
  co_return done;
}

Task<Result<bool>> Instrument::read_output(int output) {
  if (output < 0 || output >= profile_.outputs.count) {
    co_return no_such("output", output, name_, profile_.file);
  }
  const Switch& wanted = outputs_[static_cast<std::size_t>(output)].enabling;
  Result<std::string> answer = co_await ask_again(wanted.ask, freshness_limit());
  if (!answer) co_return pass(answer);
  Result<bool> is_on = read_switch(wanted, *answer);
  if (!is_on) is_on.error().where = name_;
  co_return is_on;
}

bool Instrument::output_off_now(int output) noexcept {
  if (output < 0 || output >= profile_.outputs.count) return false;
  Output& wanted = outputs_[static_cast<std::size_t>(output)];
  ++wanted.off_count;
  return conversation_.urgent(wanted.off_bytes);
}

Task<Result<std::uint32_t>> Instrument::read_inputs() {
  if (profile_.inputs.count == 0) co_return no_such("input", 0, name_, profile_.file);
  Result<std::string> answer = co_await ask_again(profile_.inputs.ask, freshness_limit());
  if (!answer) co_return pass(answer);
  Result<std::uint32_t> bits = read_input_bits(profile_.inputs, *answer);
  if (!bits) {
    conversation_.distrust();
    bits.error().where = name_;
  }
  co_return bits;
}

}  // namespace leadwright
