// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/profile_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "drivers/answers.h"
#include "tools/client/instrument/profile_text.h"

namespace leadwright {

namespace {

struct Ability {
  Capability capability;
  const char* unit;
  const char* can;
};
constexpr std::array<Ability, 6> settable{{
    {Capability::set_amps, "A", "draw a current (set_amps)"},
    {Capability::set_volts, "V", "charge to a voltage (set_volts)"},
    {Capability::limit_amps, "A", "limit the charge current (limit_amps)"},
    {Capability::cutoff_volts, "V", "end a discharge at a low voltage by itself (cutoff_volts)"},
    {Capability::trip_amps, "A", "trip by itself on too much current (trip_amps)"},
    {Capability::trip_volts, "V", "trip by itself on too much voltage (trip_volts)"},
}};

class Account {
 public:
  explicit Account(const Profile& profile) : profile_(profile) {}

  ProfileAccount tell() {
    account_.title =
        fmt::format("{}: a {}, over {}", profile_.name, word(profile_.role), kinds(profile_.link));
    tell_identity();
    tell_link();
    tell_safe_state();
    tell_switch();
    for (const Ability& ability : settable) tell_setting(ability);
    if (profile_.role == Role::digital_io) {
      tell_box();
    } else {
      tell_sample();
    }
    tell_reach();
    tell_protection();
    tell_heartbeat();
    tell_trouble();
    return account_;
  }

 private:
  void can(std::string text) { account_.can.push_back(std::move(text)); }
  void cannot(std::string text) { account_.cannot.push_back(std::move(text)); }
  bool is_source() const { return profile_.draws() || profile_.gives(); }

  void tell_identity() {
    if (profile_.dialect == DialectKind::modbus) {
      std::vector<std::string> words;
      for (const std::uint16_t one : profile_.identity.words) words.push_back(fmt::format("0x{:04X}", one));
      can("tell who it is: " + shown_message(profile_.identity.ask) + " must begin with " +
          listed(words, " "));
      if (profile_.identity.pin_serial) {
        can("be known again: another serial after a reconnect stops the place");
      } else {
        cannot("be told from another unit of its kind and number (identity.serial): a swap goes unnoticed");
      }
      return;
    }
    can("tell who it is: " + profile_.identity.ask + " must match " + profile_.identity.match.text());
    std::vector<std::string> pins;
    if (profile_.identity.pin_model) pins.emplace_back("model");
    if (profile_.identity.pin_serial) pins.emplace_back("serial");
    if (pins.empty()) {
      cannot("be told from another unit of its kind after a reconnect (identity.pin): a swap goes unnoticed");
    } else {
      can("be known again: another " + listed(pins, " or ") + " after a reconnect stops the place");
    }
    if (profile_.identity_matches("Another maker,another model,0,0")) {
      cannot("be told from any other instrument: identity.match takes them all; narrow it to this one");
    }
  }

  void tell_link() {
    const LinkNeeds& link = profile_.link;
    if (link.allows(LinkAddress::Kind::serial)) {
      std::string text = "speak over a serial line at " + settings_of(link.serial);
      if (link.serial.boot > Second(0.0)) text += ", ready " + ms(link.serial.boot) + " after opening";
      can(std::move(text));
    }
    if (link.allows(LinkAddress::Kind::tcp)) can(fmt::format("speak over TCP, port {}", link.tcp_port));
    std::string text = "answer within " + ms(link.timeout);
    if (link.gap > Second(0.0)) text += ", with at least " + ms(link.gap) + " between two messages";
    can(std::move(text));
  }

  void tell_safe_state() {
    if (profile_.safe.commands.empty()) return;
    std::vector<std::string> proofs;
    for (const SafeState::Check& check : profile_.safe.checks) {
      proofs.push_back(shown_message(check.ask) + " answers " + check.equals);
    }
    if (profile_.safe.proof) {
      proofs.push_back(fmt::format("less than {} A flows within {}", number(profile_.safe.proof->below.si()),
                                   ms(profile_.safe.proof->within)));
    } else {
      cannot("be proved off by its current ([safe] prove): only its own word says that it is off");
    }
    std::vector<std::string> commands;
    for (const std::string& command : profile_.safe.commands) commands.push_back(shown_message(command));
    can("be made safe by: " + listed(commands, ", ") + "; proved off when " + listed(proofs, " and "));
  }

  void tell_switch() {
    for (const auto* enabling : {&profile_.draw, &profile_.give}) {
      if (!*enabling) continue;
      can(fmt::format("be switched by {} and {}, read back by {}", shown_message((*enabling)->on),
                      shown_message((*enabling)->off), shown_message((*enabling)->ask)));
    }
  }

  void tell_setting(const Ability& ability) {
    const Setting* setting = profile_.setting(ability.capability);
    if (setting == nullptr) return tell_missing(ability.capability);
    std::string text =
        fmt::format("{}: {} to {} {}, {}, read back by {} to within {}", ability.can, number(setting->min),
                    number(setting->max), ability.unit,
                    setting->field ? fmt::format("steps of {}", number(std::abs(setting->field->scale)))
                                   : fmt::format("{} decimals", setting->decimals),
                    shown_message(setting->verify.ask),
                    tolerance(setting->verify.absolute, setting->verify.relative, ability.unit));
    if (setting->follow) {
      text += fmt::format("; the measured current follows to within {} in {}",
                          tolerance(setting->follow->absolute.si(), setting->follow->relative, "A"),
                          ms(setting->follow->within));
    }
    can(std::move(text));
    const bool is_work_current = ability.capability == Capability::set_amps && !setting->follow;
    if (is_work_current) {
      cannot("say how its current follows (follow): the daemon's own rule judges that");
    }
  }

  void tell_missing(Capability capability) {
    const bool is_load = profile_.draws();
    if (!is_source()) return;
    if (capability == Capability::cutoff_volts && is_load) {
      cannot("end a discharge by itself (cutoff_volts): the daemon alone enforces the end of a discharge");
    }
    if (capability == Capability::trip_amps) {
      cannot(
          is_load
              ? "trip on too much current by itself (trip_amps): the daemon alone watches the current"
              : "trip on too much current by itself (trip_amps): its current limit and the daemon hold it");
    }
    if (capability == Capability::trip_volts) {
      cannot("trip on too much voltage by itself (trip_volts): the daemon alone watches the voltage");
    }
  }

  void tell_sample() {
    std::vector<std::string> readings;
    if (profile_.measures(ReadingOf::volts)) readings.emplace_back("volts");
    if (profile_.measures(ReadingOf::amps)) readings.emplace_back("amps");
    if (profile_.measures(ReadingOf::temperature)) readings.emplace_back("temperature");
    can(fmt::format("measure {} in one exchange: {}; older than {} counts as none", listed(readings, " and "),
                    shown_message(profile_.sample_ask), ms(profile_.stale)));
    if (profile_.measures(ReadingOf::volts)) tell_accuracy("volts", profile_.volts_accuracy, "V");
    if (profile_.measures(ReadingOf::amps)) tell_accuracy("amps", profile_.amps_accuracy, "A");
    if (profile_.measures(ReadingOf::temperature)) {
      tell_accuracy("temperature", profile_.temperature_accuracy, "K");
    }
    if (profile_.frozen_after > 0) {
      can(fmt::format("be caught frozen: {} equal readings in a row while current flows",
                      profile_.frozen_after));
    } else if (is_source()) {
      cannot("be caught frozen (frozen_after = 0): a reading that stands still goes unnoticed");
    }
  }

  template <class Difference>
  void tell_accuracy(const char* what, const ReadingAccuracy<Difference>& accuracy, const char* unit) {
    can(fmt::format("measure {} to {} % of the reading + {} {}, in steps of {} {}", what,
                    number(accuracy.relative * 100.0), number(accuracy.absolute.si()), unit,
                    number(accuracy.resolution.si()), unit));
  }

  void tell_protection() {
    if (!is_source()) return;
    std::vector<std::string> names;
    if (profile_.faults) names = profile_.faults->names;
    if (profile_.faults) {
      for (const auto& [bit, name] : profile_.faults->bits) names.push_back(name);
      can("tell what tripped it: " + listed(names, ", "));
    } else {
      cannot("tell what tripped it (faults): a trip of its own shows only as a current that stops");
    }
    const bool names_cutoff = std::ranges::any_of(
        names, [](const std::string& name) { return name.find("cut-off") != std::string::npos; });
    if (profile_.has(Capability::cutoff_volts) && !names_cutoff) {
      cannot(
          "tell its cut-off from a failure: call it \"low-voltage cut-off\" in [can.faults], or a discharge "
          "that it ends counts as a trip");
    }
    if (profile_.clear_faults.empty()) {
      cannot("clear a trip of its own on command (clear_faults): a person does it at its panel");
    } else {
      can("clear its trips on command: " + shown_message(profile_.clear_faults));
    }
  }

  void tell_heartbeat() {
    if (!is_source() && profile_.outputs.count == 0) return;
    if (!profile_.heartbeat) {
      cannot(
          "switch off by itself when it hears nothing (watchdog): if the computer dies, what flows goes on; "
          "the "
          "place needs a contactor with a heartbeat, or a person beside it");
      return;
    }
    can("switch off by itself when it hears nothing for " + ms(profile_.heartbeat->limit));
    if (profile_.heartbeat->armed.ask.empty() && !profile_.heartbeat->arm.empty()) {
      cannot("prove that its own switch-off is armed: nothing reads that back");
    }
  }

  void tell_box() {
    if (profile_.outputs.count > 0) {
      can(fmt::format("switch {} outputs, each read back", profile_.outputs.count));
    }
    if (profile_.inputs.count > 0) {
      can(fmt::format("look at {} inputs: {}", profile_.inputs.count, shown_message(profile_.inputs.ask)));
    }
  }

  void tell_reach() {
    if (profile_.watts_max) can(fmt::format("take or give at most {} W", number(profile_.watts_max->si())));
    if (profile_.full_current_volts_min) {
      can(fmt::format("draw its full current down to {} V", number(profile_.full_current_volts_min->si())));
    }
    if (profile_.sample_time > Second(0.0)) {
      can("measure in " + ms(profile_.sample_time) + ", by its data sheet");
    }
  }

  void tell_trouble() {
    if (profile_.dialect == DialectKind::modbus) {
      can("say that it refused a request: every request is answered");
      cannot("say that its mains were gone: limits that it lost are seen only before the next run");
      return;
    }
    const ErrorQueue& errors = profile_.errors;
    if (errors.ask.empty()) {
      cannot("say that it refused a command (errors.ask): only the read-back shows it");
    } else {
      can("say that it refused a command: " + errors.ask);
    }
    if (errors.power_cycle_ask.empty()) {
      cannot(
          "say that its mains were gone (power_cycle): limits that it lost are seen only before the next "
          "run");
    } else {
      can(fmt::format("say that its mains were gone: bit {} of {}", errors.power_cycle_bit,
                      errors.power_cycle_ask));
    }
    if (errors.tag) {
      can("number its answers (tag): none can be taken for that to another question");
    } else if (errors.fence.empty()) {
      cannot("prove after a lost answer that it is in step again (fence): only silence shows it");
    } else {
      can("prove after a lost answer that it is in step again: " + errors.fence);
    }
  }

  const Profile& profile_;
  ProfileAccount account_;
};

}  // namespace

ProfileAccount account_of(const Profile& profile) {
  return Account(profile).tell();
}

}  // namespace leadwright
