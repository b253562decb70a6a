// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/chart.h"

#include <array>
#include <charconv>

namespace leadwright {

std::string chart_number(std::optional<double> number, int decimals) {
  if (!number) return "null";
  std::array<char, 400> room;  // the largest double has 309 digits before its point
  const auto written =
      std::to_chars(room.data(), room.data() + room.size(), *number, std::chars_format::fixed, decimals);
  std::string text(room.data(), written.ptr);
  const bool is_zero = text.find_first_of("123456789") == std::string::npos;
  if (is_zero && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string Chart::json(RunId run, const Trace& trace) {
  if (run_ != run) {
    *this = Chart();
    run_ = run;
  }
  for (; next_ < trace.samples.size(); next_ += stride_) {
    if (starts_.size() == points_max) halve();
    add(trace.samples[next_]);
  }
  std::string json("[");
  json += points_;
  if (!starts_.empty()) json.pop_back();
  return json += ']';
}

void Chart::add(const Sample& sample) {
  const auto si = [](const auto& quantity) {
    return quantity ? std::optional(quantity->si()) : std::nullopt;
  };
  starts_.push_back(points_.size());
  points_.append("[").append(chart_number(sample.at.si(), 0));
  points_.append(",").append(chart_number(si(sample.volts), 3));
  points_.append(",").append(chart_number(si(sample.amps), 2)).append("],");
}

void Chart::halve() {
  std::string kept;
  std::vector<std::size_t> starts;
  for (std::size_t point = 0; point < starts_.size(); point += 2) {
    const std::size_t end = point + 1 < starts_.size() ? starts_[point + 1] : points_.size();
    starts.push_back(kept.size());
    kept.append(points_, starts_[point], end - starts_[point]);
  }
  points_ = std::move(kept);
  starts_ = std::move(starts);
  stride_ *= 2;
}

}  // namespace leadwright
