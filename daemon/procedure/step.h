// SPDX-License-Identifier: Apache-2.0
// One step of a procedure: what it does, how it ends, what it leaves behind. Values only; the place carries
// it out. Read next: procedure.h, ../place/run.h.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/procedure/expression.h"

namespace leadwright {

enum class StepKind {
  rest,     ///< nothing on; sample
  draw,     ///< current, power or resistance out, after the ramp 1 A, 5 A, full
  charge,   ///< constant current, then constant voltage
  measure,  ///< nothing on; a number of samples, averaged, perhaps until they are stable
  pulse,    ///< a train of draws on a small current that flows between them
  ask,      ///< nothing on; a person answers
  call,     ///< another procedure's steps; gone once a procedure is linked
  decide,   ///< go on at one step or another
  state,    ///< compute findings from earlier steps, or state a fault
};
const char* word(StepKind kind);

/// A step that switches something on.
constexpr bool energises(StepKind kind) {
  return kind == StepKind::draw || kind == StepKind::charge || kind == StepKind::pulse;
}
constexpr bool draws(StepKind kind) {
  return kind == StepKind::draw || kind == StepKind::pulse;
}
/// A step that takes time: all but those that only think.
constexpr bool lasts(StepKind kind) {
  return kind != StepKind::call && kind != StepKind::decide && kind != StepKind::state;
}

struct Condition {
  std::string name;  ///< plain words: "cut-off reached"
  Expression when;
  Second hold{};  ///< must hold this long without a gap
  /// Of an abort while drawing: a bad clamp would look like this. A person is asked to reseat them; the run
  /// after that one does not stop here, since what shows again is the battery's.
  bool asks_for_clamps = false;
};

/// What replaces a draw where the place's load can't do it. Findings made of it are estimates.
struct Instead {
  Expression amps;
  std::optional<Expression> cutoff;
  std::optional<Expression> ends_at;
  std::optional<Expression> at_most;
  std::string note;  ///< "estimated from 25 A"
};

/// Highest less lowest reading over `span` is at most `within`.
struct Stability {
  Volt within;
  Second span;
};

/// `count` times: `amps` for `width`, then `base` for `pause`.
struct PulseTrain {
  Expression base;
  Second width{2.0};
  Second pause{10.0};
  int count = 1;
};

enum class AnswerKind { yes_or_no, number, choice, text };
const char* word(AnswerKind kind);

/// A question to a person.
struct Question {
  std::string text;
  AnswerKind kind = AnswerKind::yes_or_no;
  std::string unit_word;             ///< number: "V"; empty for a bare number
  Unit unit;                         ///< of the answer
  double si = 1.0;                   ///< SI units in one of `unit_word`
  std::optional<double> lowest;      ///< number, in SI
  std::optional<double> highest;     ///< number, in SI
  std::vector<std::string> choices;  ///< choice
  bool takes_photo = false;          ///< a photo may come with the answer
  std::optional<std::size_t> slot;   ///< where the answer goes: SI, 1 or 0 for yes or no, index of the choice
};

/// Where to go on. Indices of steps; one past the last ends the procedure well.
struct Branch {
  Expression when;
  std::size_t then = 0;
  std::size_t otherwise = 0;
  int times_max = 0;  ///< how often a run may go back from here
};

/// Steps of another procedure, with its parameters.
struct Call {
  std::string procedure;
  std::vector<std::pair<std::string, Expression>> with;
};

/// A fault that a step states.
struct StatedFault {
  FaultKind kind = FaultKind::unsafe;
  std::string evidence;
};

/// A value that a step leaves under an own name.
struct Keep {
  std::size_t slot = 0;
  Expression value;
};

struct Step {
  std::string name;  ///< unique in the procedure, used by `of`
  StepKind kind = StepKind::rest;
  std::string what;       ///< plain sentence for the page
  std::string where;      ///< file:line:column
  std::size_t frame = 0;  ///< of its own names: 0 unless another procedure is called

  std::optional<Expression> amps;      ///< draw: this, or watts, or ohms; charge: the most that flows; pulse
  std::optional<Expression> watts;     ///< draw: held by setting the current anew; charge: a limit
  std::optional<Expression> ohms;      ///< draw: held in the same way
  std::optional<Expression> amps_max;  ///< draw by watts or ohms: the most that this may take
  std::optional<Expression> volts;     ///< charge: the limit
  std::optional<Expression> cutoff;    ///< draw: voltage programmed into the load as its own cut-off
  std::optional<Expression> ends_at;   ///< draw: voltage where it means to end, a line on the page's chart
  std::optional<Instead> instead;
  std::optional<Stability> stable;
  std::optional<PulseTrain> pulse;
  std::optional<Question> question;
  std::optional<std::size_t> unanswered;  ///< ask: index of the step to go on at; absent: the run stops

  std::vector<Condition> until;        ///< any of them ends the step well
  std::vector<Condition> abort;        ///< any of them ends the run: stopped, with this name as reason
  std::optional<Expression> at_most;   ///< time limit; present for every step that lasts
  bool time_limit_is_failure = false;  ///< the limit ends the run as stopped, instead of the step
  Second every{0.5};                   ///< sampling period
  std::vector<Keep> keeps;

  std::optional<Call> call;
  std::optional<Branch> branch;

  std::string finding;  ///< state: which calculation (see battery/findings.h); or
  std::optional<StatedFault> fault;
  std::vector<std::string> of;     ///< state: names of the steps that the finding is made of
  std::optional<Expression> when;  ///< state: only if this holds
  bool ends = false;               ///< state: the run ends well after it was stated
};

/// The variant takes the place of what the step itself would draw. Only with an `instead`.
void take_instead(Step& step);

}  // namespace leadwright
