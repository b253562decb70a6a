// SPDX-License-Identifier: Apache-2.0
// What is wrong with metrics as text, by the exposition format 0.0.4 and its naming practices
// (https://prometheus.io/docs/instrumenting/exposition_formats/,
// https://prometheus.io/docs/practices/naming/). Written from those pages, apart from the code that it
// checks.
#pragma once

#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leadwright {

class ExpositionChecker {
 public:
  static std::vector<std::string> mistakes(const std::string& text) {
    ExpositionChecker checker;
    if (text.empty() || text.back() != '\n') checker.say("the last line does not end");
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) checker.read(line);
    checker.end_family();
    return checker.mistakes_;
  }

 private:
  struct Label {
    std::string name;
    std::string value;  ///< as written, escapes and all
  };
  struct Sample {
    std::string name;
    std::vector<Label> labels;
    double value = 0.0;
  };

  void say(const std::string& what) { mistakes_.push_back(what); }

  static bool take(std::string_view& rest, std::string_view wanted) {
    if (!rest.starts_with(wanted)) return false;
    rest.remove_prefix(wanted.size());
    return true;
  }

  /// Empty if the text does not begin with a name. Only those of metrics may hold a colon.
  static std::string take_name(std::string_view& rest, bool is_metric) {
    const auto is_allowed = [is_metric](char c, bool is_first) {
      const bool is_letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
      return is_letter || (is_metric && c == ':') || (!is_first && c >= '0' && c <= '9');
    };
    std::size_t size = 0;
    while (size < rest.size() && is_allowed(rest[size], size == 0)) ++size;
    std::string name(rest.substr(0, size));
    rest.remove_prefix(size);
    return name;
  }

  /// Up to the closing quote; nothing if there is none, or for a backslash before anything but \\, " and n.
  static std::optional<std::string> take_quoted(std::string_view& rest) {
    std::string value;
    while (!rest.empty() && rest.front() != '"') {
      const std::size_t size = rest.front() == '\\' ? 2 : 1;
      if (rest.size() < size) return std::nullopt;
      if (size == 2 && std::string_view("\\\"n").find(rest[1]) == std::string_view::npos) return std::nullopt;
      value += rest.substr(0, size);
      rest.remove_prefix(size);
    }
    return take(rest, "\"") ? std::optional(value) : std::nullopt;
  }

  static std::optional<std::vector<Label>> take_labels(std::string_view& rest) {
    std::vector<Label> labels;
    if (!take(rest, "{")) return labels;
    do {
      Label label{take_name(rest, false), ""};
      if (label.name.empty() || !take(rest, "=\"")) return std::nullopt;
      auto value = take_quoted(rest);
      if (!value) return std::nullopt;
      label.value = std::move(*value);
      labels.push_back(std::move(label));
    } while (take(rest, ","));
    return take(rest, "}") ? std::optional(labels) : std::nullopt;
  }

  static std::optional<double> number_of(std::string_view text) {
    if (text == "+Inf") return std::numeric_limits<double>::infinity();
    if (text == "-Inf") return -std::numeric_limits<double>::infinity();
    if (text == "NaN") return std::numeric_limits<double>::quiet_NaN();
    double value = 0.0;
    const char* const end = text.data() + text.size();
    const auto [rest, error] = std::from_chars(text.data(), end, value);
    if (error != std::errc() || rest != end || !std::isfinite(value)) return std::nullopt;
    return value;
  }

  static std::optional<Sample> sample_of(std::string_view line) {
    Sample sample;
    sample.name = take_name(line, true);
    auto labels = take_labels(line);
    if (sample.name.empty() || !labels || !take(line, " ")) return std::nullopt;
    const auto value = number_of(line);
    if (!value) return std::nullopt;
    sample.labels = std::move(*labels);
    sample.value = *value;
    return sample;
  }

  void read(const std::string& line) {
    std::string_view rest = line;
    if (take(rest, "# HELP ")) {
      end_family();
      helped_ = take_name(rest, true);
      if (helped_.empty() || !take(rest, " ") || rest.empty()) say("not a line of the format: " + line);
    } else if (take(rest, "# TYPE ")) {
      const std::string name = take_name(rest, true);
      const bool is_typed = take(rest, " ") && (rest == "counter" || rest == "gauge" || rest == "histogram");
      if (name.empty() || !is_typed) return say("not a line of the format: " + line);
      begin_family(name, std::string(rest));
    } else if (const auto sample = sample_of(rest)) {
      take_sample(*sample);
    } else {
      say("not a line of the format: " + line);
    }
  }

  void begin_family(const std::string& name, const std::string& type) {
    name_ = name;
    type_ = type;
    if (helped_ != name) say("no help for " + name);
    if (!families_.insert(name).second) say("twice: " + name);
    const bool is_total = name.ends_with("_total");
    if ((type == "counter") != is_total) say("a counter, and only a counter, ends with _total: " + name);
    for (const char* unit : {"_ms", "_milliseconds", "_us", "_mv", "_percent", "_minutes", "_hours"}) {
      if (name.ends_with(unit)) say("not a base unit: " + name);
    }
  }

  void take_sample(const Sample& sample) {
    std::string of;
    std::optional<double> upper;
    for (const Label& label : sample.labels) {
      if (label.name == "le") upper = number_of(label.value);
      if (label.name != "le") of += label.name + "=" + label.value + "\n";
    }
    const std::string& name = sample.name;
    const std::string bound = upper ? std::to_string(*upper) : "";
    if (!samples_.insert(name + "\n" + of + bound).second) say("the same sample twice: " + name + " " + of);
    const bool is_histogram = type_ == "histogram";
    const bool is_bucket = is_histogram && name == name_ + "_bucket";
    const bool belongs =
        is_histogram ? is_bucket || name == name_ + "_sum" || name == name_ + "_count" : name == name_;
    if (!belongs) return say("a sample outside its family: " + name);
    if (is_bucket != upper.has_value()) return say("le is for buckets, and for them only: " + name);
    if (is_bucket) buckets_[of].emplace_back(*upper, sample.value);
    if (is_histogram && name == name_ + "_count") counts_[of] = sample.value;
  }

  void end_family() {
    for (const auto& [of, buckets] : buckets_) {
      if (!std::isinf(buckets.back().first)) say("the last bucket is not +Inf: " + name_ + of);
      if (!counts_.contains(of) || counts_[of] != buckets.back().second) {
        say("the count is not that of the last bucket: " + name_ + of);
      }
      for (std::size_t i = 1; i < buckets.size(); ++i) {
        if (buckets[i].second < buckets[i - 1].second) say("buckets do not add up: " + name_ + of);
        if (buckets[i].first <= buckets[i - 1].first) say("buckets out of order: " + name_ + of);
      }
    }
    buckets_.clear();
    counts_.clear();
    name_.clear();
    type_.clear();
  }

  std::vector<std::string> mistakes_;
  std::set<std::string> families_;
  std::set<std::string> samples_;
  std::string helped_;
  std::string name_;
  std::string type_;
  std::map<std::string, std::vector<std::pair<double, double>>> buckets_;  ///< upper end and count, by labels
  std::map<std::string, double> counts_;
};

}  // namespace leadwright
