// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_instrument.h"

#include <array>
#include <charconv>
#include <cmath>
#include <utility>

namespace leadwright {

namespace {

// Shares of the declared accuracy; with normal() bounded by 3.5 their sum stays below 1.
constexpr double gain_share = 0.6;
constexpr double offset_share = 0.5;
constexpr double noise_share = 0.06;
// The mean of the meter over its own window; bench time, since it belongs to what is measured.
constexpr Second settling_tau{0.02};

std::string identity(std::string_view role, const std::string& serial, double scale) {
  std::array<char, 32> text{};
  const auto [end, bad] = std::to_chars(text.data(), text.data() + text.size(), scale);
  return "Leadwright,simulated " + std::string(role) + "," + serial + ",sim-" + std::string(text.data(), end);
}

}  // namespace

Meter::Meter(SimAccuracy accuracy, SimRandom& random)
    : resolution_(accuracy.resolution),
      gain_(accuracy.relative * gain_share * random.even()),
      offset_(accuracy.absolute * offset_share * random.even()),
      noise_(accuracy.absolute * noise_share) {}

double Meter::shown(double value, SimRandom& random) const {
  const double noise = noise_ > 0.0 ? noise_ * random.normal() : 0.0;
  return std::round((biased(value) + noise) / resolution_) * resolution_;
}

SimInstrument::SimInstrument(std::string_view role, SimInstrumentOptions options, Terminals& terminals,
                             const Clock& bench)
    : ScpiDevice(identity(role, options.serial, bench.scale())),
      options_(std::move(options)),
      terminals_(terminals),
      bench_(bench),
      random_(options_.seed, options_.serial) {}

std::optional<SimInstrument::Fault> SimInstrument::fault_of(std::string_view word) {
  if (word == "ignores_off") return Fault::ignores_off;
  if (word == "stuck_reading") return Fault::stuck_reading;
  if (word == "no_answer") return Fault::no_answer;
  if (word == "wrong_identity") return Fault::wrong_identity;
  return std::nullopt;
}

void SimInstrument::set_fault(Fault fault, bool on) {
  const unsigned bit = 1U << static_cast<unsigned>(fault);
  faults_ = on ? faults_ | bit : faults_ & ~bit;
  if (fault == Fault::wrong_identity) impersonate(on ? "Elsewhere,another instrument,0,1.0" : "");
}

void SimInstrument::exchange(std::string_view bytes, std::string& answers) {
  if (!has_fault(Fault::no_answer)) {
    receive(bytes, answers);
    return;
  }
  unheard_.clear();
  receive(bytes, unheard_);
}

void SimInstrument::begin_message() {
  now_ = bench_.now();
  terminals_.settle(now_);
}

Meter SimInstrument::meter(SimAccuracy accuracy) {
  if (options_.ideal) return Meter(accuracy.resolution);
  return {accuracy, random_};
}

void SimInstrument::jumped(Ampere before) {
  jump_at_ = now_;
  jump_from_ = before;
}

double SimInstrument::unsettled_amps(Ampere present) const {
  if (options_.ideal) return 0.0;
  const double left = std::exp(-((now_ - jump_at_) / settling_tau));
  return left > 1e-9 ? (jump_from_ - present).si() * left : 0.0;
}

double SimInstrument::reading(const Meter& meter, double value, int slot) {
  std::optional<double>& last = slot == 0 ? last_[0] : last_[1];
  if (!last || !has_fault(Fault::stuck_reading)) last = meter.shown(value, random_);
  return *last;
}

void SimInstrument::add_protection_words(std::string_view node, double level_max,
                                         std::function<void(std::optional<double>)> apply, bool& tripped) {
  ProtectionWords& words =
      protections_.emplace_back(ProtectionWords{level_max, level_max, false, tripped, std::move(apply)});
  const auto update = [this, &words] {
    words.apply(words.enabled ? std::optional<double>(words.level) : std::nullopt);
    terminals_.changed();
  };
  const std::string path(node);
  on(path + "[:LEVel]", [this, &words, update](ScpiCall& call) {
    const auto level = number(call, 0.0, words.level_max);
    if (!level) return;
    words.level = *level;
    update();
  });
  on(path + "[:LEVel]?", [&words](ScpiCall& call) { write(call.answer, words.level); });
  on(path + ":STATe", [this, &words, update](ScpiCall& call) {
    const auto enabled = boolean(call);
    if (!enabled) return;
    words.enabled = *enabled;
    update();
  });
  on(path + ":STATe?", [&words](ScpiCall& call) { call.answer += words.enabled ? '1' : '0'; });
  on(path + ":TRIPped?", [&words](ScpiCall& call) { call.answer += words.tripped ? '1' : '0'; });
  on(path + ":CLEar", [&words](ScpiCall&) { words.tripped = false; });
}

void SimInstrument::reset_protections() {
  for (ProtectionWords& words : protections_) {
    words.level = words.level_max;
    words.enabled = false;
    words.tripped = false;
    words.apply(std::nullopt);
  }
}

}  // namespace leadwright
