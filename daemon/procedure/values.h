// SPDX-License-Identifier: Apache-2.0
// The names that an expression may use, their units, and their values while a procedure runs. Pure; any
// thread. Read next: expression.h.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leadwright {

/// Exponents over volt, ampere, second, kelvin; a truth value is its own kind.
struct Unit {
  int volt = 0;
  int ampere = 0;
  int second = 0;
  int kelvin = 0;
  bool truth = false;
  bool operator==(const Unit&) const = default;
  std::string text() const;  ///< "V", "A", "V/s", "a condition", "a number"
};

/// The names that every procedure has. Temperature counts in degC and has unit kelvin.
enum class Name {
  cells,             ///< from the nameplate: number
  cca,               ///< A
  cranking_load,     ///< A, what a load test draws: half the CCA, or of a label without one by its C20
  reserve_capacity,  ///< s
  c20,               ///< C (ampere-seconds; "60 Ah" reads as this)
  capacity,          ///< C20 if stated, else 25 A x RC, else 40 Ah (common practice, no source)
  charge_volts,      ///< charge limit of the chemistry for the whole battery at the present temperature, V
  load_amps_max,     ///< what this place's load can draw, A; missing without a load or a stated limit
  charger_amps_max,  ///< what this place's charger can give, A
  ocv_found,         ///< newest finding of the ticket, V; so the next four
  soc_found,         ///< number
  resistance_found,  ///< ohm
  reserve_capacity_found,  ///< s, as measured
  volts,                   ///< live: the last sample; missing if not measured
  amps,                    ///< live: magnitude of the battery current
  case_temperature,        ///< live: degC
  step_time,               ///< s
  run_time,                ///< s
  step_charge,             ///< C, magnitude of the charge moved in this step
  slope,                   ///< V/s over the last 30 min of this step (all of it if it is younger); signed
  amps_change,  ///< share per hour by which the current fell over the last hour of this step: number/s
  cell_volts,   ///< volts / cells, V
  run_charge,   ///< C, net charge that the battery has given since the run began; negative after a charge
  step_energy,  ///< J, magnitude of the energy moved in this step
  warming,      ///< K/s over the last 10 min of this step; signed
  forecast_end_max,  ///< s: latest end of a draw at 25 A that an early decision may believe, since its full
                     ///< current
  count_,            ///< number of names
};
std::optional<Name> name_of(std::string_view word);
const char* word(Name name);
Unit unit_of(Name name);
/// Known only while a step runs, so not to be used for what is set before it (currents, limits, times).
bool is_live(Name name);

/// A name that a file makes for itself: a parameter, a table, or what a step keeps.
struct OwnName {
  std::string word;
  Unit unit;
  bool is_settled = true;     ///< known before the run begins: a parameter or a table
  bool is_yes_or_no = false;  ///< the answer of a person, 1 or 0
};

/// The own names of one file, each with its slot.
class Scope {
 public:
  static constexpr std::size_t names_max = 64;
  /// Slot of a new name; missing if the word is taken (here or by a Name), is no lower_snake_case word, or
  /// if there are too many.
  std::optional<std::size_t> add(OwnName name);
  std::optional<std::size_t> find(std::string_view word) const;
  const std::vector<OwnName>& names() const { return names_; }

 private:
  std::vector<OwnName> names_;
};

/// Values for evaluation, in SI (degC for temperature). A missing value makes every result that needs it
/// missing. A procedure that calls another one has a frame of own values for each call; one is current.
class Values {
 public:
  void set(Name name, std::optional<double> si) { values_[static_cast<std::size_t>(name)] = si; }
  const std::optional<double>& get(Name name) const { return values_[static_cast<std::size_t>(name)]; }

  using Own = std::vector<std::vector<std::optional<double>>>;
  /// Own values of all frames, by slot.
  const Own& all_own() const { return frames_; }
  void set_all_own(Own own) {
    frames_ = std::move(own);
    enter(frame_);
  }

  /// Makes `frame` current; what was never set there is missing.
  void enter(std::size_t frame);
  void set_own(std::size_t slot, std::optional<double> si);
  std::optional<double> own(std::size_t slot) const;

 private:
  std::array<std::optional<double>, static_cast<std::size_t>(Name::count_)> values_;
  std::vector<std::vector<std::optional<double>>> frames_ = {{}};
  std::size_t frame_ = 0;
};

}  // namespace leadwright
