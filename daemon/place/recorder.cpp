// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/recorder.h"

#include <utility>

namespace leadwright {

namespace {
constexpr const char* interrupted_end = "interrupted";
}  // namespace

Recorder::Recorder(RunId run, Clocks clocks, Store& store)
    : run_(run),
      clocks_(clocks),
      store_(store),
      started_(clocks.bench.now()),
      written_at_(clocks.machine.now()),
      self_(std::make_shared<Recorder*>(this)) {}

Recorder::~Recorder() {
  *self_ = nullptr;
}

void Recorder::begin_step(int step, const std::string& name) {
  Trace::StepSpan span;
  span.step = step;
  span.name = name;
  span.first = span.last = trace_.samples.size();
  span.started_at = span.ended_at = elapsed();
  trace_.steps.push_back(std::move(span));
  step_charge_ = Coulomb(0.0);
}

void Recorder::end_step(const std::string& end) {
  Trace::StepSpan& span = trace_.steps.back();
  span.last = trace_.samples.size();
  span.ended_at = elapsed();
  span.end = end;
}

void Recorder::add(const Sample& sample) {
  Trace::StepSpan& span = trace_.steps.back();
  const bool first_of_step = trace_.samples.size() == span.first;
  if (!first_of_step && sample.amps && trace_.samples.back().amps) {
    const Sample& before = trace_.samples.back();
    const Coulomb moved = (*before.amps + *sample.amps) * 0.5 * (sample.at - before.at);
    step_charge_ += moved;
    run_charge_ += moved;
  }
  trace_.samples.push_back(sample);
  span.last = trace_.samples.size();
  span.ended_at = sample.at;
  const Second covered = sample.at - trace_.samples[written_].at;
  if (covered >= block_span_max || clocks_.machine.now() - written_at_ >= write_every) flush();
}

Batch Recorder::take() {
  written_at_ = clocks_.machine.now();
  Batch batch;
  if (written_ < trace_.samples.size()) {
    batch.emplace_back(
        TraceBlock{run_,
                   sequence_++,
                   {trace_.samples.begin() + static_cast<std::ptrdiff_t>(written_), trace_.samples.end()}});
    written_ = trace_.samples.size();
  }
  std::optional<RunJournal> now = journal ? journal() : std::nullopt;
  if (!now) return batch;
  now->samples = written_;
  now->blocks = sequence_;
  now->spans = trace_.steps;
  batch.emplace_back(std::move(*now));
  return batch;
}

void Recorder::flush() {
  Batch batch = take();
  if (batch.empty()) return;
  store_.write(std::move(batch), [self = self_](const Result<void>& result) {
    if (result || *self == nullptr) return;
    const Recorder* const recorder = std::exchange(*self, nullptr);
    if (recorder->refused) recorder->refused(result.error());
  });
}

void Recorder::take_up(Trace trace, int blocks, Coulomb run_charge, Second elapsed) {
  trace_ = std::move(trace);
  written_ = trace_.samples.size();
  sequence_ = blocks;
  run_charge_ = run_charge;
  started_ = clocks_.bench.now() - elapsed;
}

void Recorder::continue_step(int step, const std::string& name, Coulomb step_charge) {
  if (!trace_.steps.empty()) trace_.steps.back().end = interrupted_end;
  begin_step(step, name);
  trace_.steps.back().continues = true;
  step_charge_ = step_charge;
}

}  // namespace leadwright
