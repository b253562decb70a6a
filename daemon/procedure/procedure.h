// SPDX-License-Identifier: Apache-2.0
// A procedure: a script of steps, read from TOML and checked before it is used. Values only; the place runs
// it. A procedure names no policy. Read next: step.h, expression.h, proof.h, config/procedures/, place/run.h.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/procedure/step.h"
#include "protocol/result.h"

namespace leadwright {

/// Limits of the envelope; what is absent leaves the chemistry's own.
struct EnvelopeLimits {
  std::optional<Expression> volts_min;
  std::optional<Expression> volts_max;
  std::optional<Expression> amps_max;
  std::optional<Expression> case_min;
  std::optional<Expression> case_max;
  std::optional<Expression> charge_max;
  std::optional<Expression> time_max;
};

/// A value that whoever starts or calls the procedure may choose, within limits.
struct Parameter {
  std::string word;
  std::string what;
  std::size_t slot = 0;
  Expression initial;
  std::optional<Expression> lowest;
  std::optional<Expression> highest;
};

/// A value for each lead chemistry.
struct ChemistryTable {
  static constexpr std::array chemistries{Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel};
  std::string word;
  std::string what;
  std::size_t slot = 0;
  std::array<Expression, chemistries.size()> values;  ///< in that order
};

/// The own names of one procedure within a run: the procedure itself, or one call of another.
struct Frame {
  std::string procedure;
  std::size_t parent = 0;  ///< whose names the arguments use; its own index for the procedure itself
  std::vector<Parameter> parameters;
  std::vector<ChemistryTable> tables;
  std::vector<std::pair<std::size_t, Expression>> arguments;  ///< slot here, value there
  EnvelopeLimits limits;
};

struct Procedure {
  std::string name;  ///< "reserve capacity"
  int version = 1;
  std::string what;
  std::string file;
  std::string hash;  ///< hex BLAKE2b-256 of the file's text, and of those that it calls
  bool attended = false;
  /// After the daemon died in the middle of it: it goes on where it stood, or it is void. A step that draws
  /// is never gone on with.
  bool resumes = false;
  Second interruption_max = minutes(15.0);  ///< longer, and it is void all the same
  bool needs_load = false;
  bool needs_charger = false;
  bool needs_thermometer = false;
  std::string consent;  ///< what the owner must have agreed to, in words; empty if nothing
  std::vector<Frame> frames = std::vector<Frame>(1);  ///< its own, then one for each call
  std::vector<Step> steps;
  /// Of the whole run.
  const EnvelopeLimits& limits() const { return frames.front().limits; }
};

/// A run that was interrupted more often is void: what kills the daemon may be the run itself (our own rule).
inline constexpr int interruptions_max = 3;

/// Reads and checks one file's text. Every mistake is reported (all at once): unknown keys, units that do not
/// agree, a step that can't end, a name used before it is stated, an `of` without its step. Calls are not
/// resolved yet: see link_calls().
tl::expected<Procedure, std::vector<Error>> read_procedure(std::string_view text, const std::string& file);

/// Puts the steps of called procedures in the place of their calls, under the call's name ("name: step").
/// `known` are all procedures as they were read; the newest version counts. Fails with bad_input: no such
/// procedure or parameter, a unit that differs, a procedure that calls itself, calls nested deeper than 4.
Result<Procedure> link_calls(const Procedure& procedure, const std::vector<Procedure>& known);

/// Any of its steps draws from the battery.
bool any_step_draws(const Procedure& procedure);

/// Parameters of a procedure by their words, in SI.
using Choices = std::vector<std::pair<std::string, double>>;

/// Gives every frame of `values` its parameters and tables. `chosen` are parameters of the procedure itself,
/// in SI. Fails with bad_input: no such parameter, a value outside its limits, or one that needs a datum that
/// the nameplate lacks.
Result<void> bind_names(const Procedure& procedure, Chemistry chemistry, const Choices& chosen,
                        Values& values);

/// One file with what it calls from the same folder, linked and proved. Its mistakes, all at once.
tl::expected<Procedure, std::vector<Error>> load_procedure(const std::string& file);

/// All *.toml of a folder, by name, linked and proved (proof.h). Two of one name and version is an error.
tl::expected<std::vector<Procedure>, std::vector<Error>> load_procedures(const std::string& folder);

}  // namespace leadwright
