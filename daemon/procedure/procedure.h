// SPDX-License-Identifier: Apache-2.0
// A procedure: a script of steps, read from TOML and checked before it is used. Values only; the place runs
// it. A procedure names no policy. Read next: expression.h, config/procedures/, place/run.h.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/procedure/expression.h"
#include "protocol/result.h"

namespace leadwright {

enum class StepKind {
  rest,     ///< nothing on; sample
  draw,     ///< constant current out, after the ramp 1 A, 5 A, full
  charge,   ///< constant current, then constant voltage
  measure,  ///< nothing on; a number of samples, averaged
  state,    ///< compute findings from earlier steps
};
const char* word(StepKind kind);

struct Condition {
  std::string name;  ///< plain words: "cut-off reached"
  Expression when;
  Second hold{};  ///< must hold this long without a gap
};

struct Step {
  std::string name;  ///< unique in the procedure, used by `of`
  StepKind kind = StepKind::rest;
  std::string what;  ///< plain sentence for the page
  std::optional<Expression> amps;
  std::optional<Expression> volts;     ///< charge: the limit
  std::optional<Expression> cutoff;    ///< draw: voltage programmed into the load as its own cut-off
  std::optional<Expression> ends_at;   ///< draw: voltage where it means to end, a line on the page's chart
  std::vector<Condition> until;        ///< any of them ends the step well
  std::vector<Condition> abort;        ///< any of them ends the run: stopped, with this name as reason
  std::optional<Expression> at_most;   ///< time limit of the step; always present but for `state`
  bool time_limit_is_failure = false;  ///< the limit ends the run as stopped, instead of the step
  Second every{0.5};                   ///< sampling period
  std::string finding;                 ///< state: which calculation (see battery/findings.h)
  std::vector<std::string> of;         ///< state: names of the steps it is made of
};

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

struct Procedure {
  std::string name;  ///< "reserve capacity"
  int version = 1;
  std::string what;
  std::string file;
  std::string hash;  ///< hex BLAKE2b-256 of the file's text
  bool attended = false;
  bool needs_load = false;
  bool needs_charger = false;
  bool needs_thermometer = false;
  EnvelopeLimits limits;
  std::vector<Step> steps;
};

/// Reads and checks one file's text. Every mistake is reported (all at once): unknown keys, units that do not
/// agree, a step that can't end, a name used before it is stated, an `of` without its step.
tl::expected<Procedure, std::vector<Error>> read_procedure(std::string_view text, const std::string& file);

/// All *.toml of a folder, by name. Two of one name and version is an error.
tl::expected<std::vector<Procedure>, std::vector<Error>> load_procedures(const std::string& folder);

}  // namespace leadwright
