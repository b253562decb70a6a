// SPDX-License-Identifier: Apache-2.0
// Builds synthetic traces for the tests of daemon/battery.
#pragma once

#include <string>
#include <utility>

#include "daemon/battery/sample.h"

namespace leadwright {

class TraceMaker {
 public:
  TraceMaker& step(const std::string& name) {
    Trace::StepSpan span;
    span.step = static_cast<int>(trace_.steps.size());
    span.name = name;
    span.first = span.last = trace_.samples.size();
    span.started_at = span.ended_at = now_;
    trace_.steps.push_back(std::move(span));
    return *this;
  }
  TraceMaker& sample(std::optional<Volt> volts, std::optional<Ampere> amps,
                     std::optional<Celsius> temperature = Celsius(25.0)) {
    Trace::StepSpan& span = trace_.steps.back();
    trace_.samples.push_back(Sample{now_, span.step, volts, amps, temperature});
    span.last = trace_.samples.size();
    span.ended_at = now_;
    return *this;
  }
  TraceMaker& wait(Second time) {
    now_ = Second(now_.si() + time.si());
    return *this;
  }
  TraceMaker& end(const std::string& condition) {
    trace_.steps.back().end = condition;
    trace_.steps.back().ended_at = now_;
    return *this;
  }
  Second now() const { return now_; }
  Trace& trace() { return trace_; }

 private:
  Trace trace_;
  Second now_{0.0};
};

}  // namespace leadwright
