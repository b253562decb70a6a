// SPDX-License-Identifier: Apache-2.0
// Samples of json.h: alone, and a trace of them.
#include "daemon/store/json.h"
#include "daemon/store/json_writer.h"

namespace leadwright {

namespace {

void add_sample(ObjectText& out, const Sample& sample) {
  out.add("t_s", sample.at.si())
      .add("step", sample.step)
      .raw("volts_v", sample.volts ? json_number(sample.volts->si()) : "null")
      .raw("amps_a", sample.amps ? json_number(sample.amps->si()) : "null")
      .raw("case_degc", sample.temperature ? json_number(sample.temperature->degc()) : "null");
}

}  // namespace

std::string sample_json(RunId run, const Sample& sample) {
  ObjectText out;
  out.add("run", shown(run));
  add_sample(out, sample);
  return out.take();
}

std::string trace_json(RunId run, const std::vector<Sample>& samples, std::size_t every) {
  std::string list = "[";
  for (std::size_t i = 0; i < samples.size(); i += every) {
    if (i > 0) list += ',';
    ObjectText sample;
    add_sample(sample, samples[i]);
    list += sample.take();
  }
  return ObjectText()
      .add("run", shown(run))
      .raw("every", std::to_string(every))
      .raw("samples", list + "]")
      .take();
}

std::size_t thinning(std::size_t count, std::size_t count_max) {
  return count == 0 ? 1 : (count + count_max - 1) / count_max;
}

}  // namespace leadwright
