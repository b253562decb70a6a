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
#include <regex>
#include <set>
#include <sstream>
#include <string>
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
  static double value_of(const std::string& text) {
    double value = std::numeric_limits<double>::quiet_NaN();
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
  }
  static double upper_of(const std::string& text) {
    return text == "+Inf" ? std::numeric_limits<double>::infinity() : value_of(text);
  }

  void say(const std::string& what) { mistakes_.push_back(what); }

  void read(const std::string& line) {
    static const std::regex help(R"(# HELP ([a-zA-Z_:][a-zA-Z0-9_:]*) (.+))");
    static const std::regex type(R"(# TYPE ([a-zA-Z_:][a-zA-Z0-9_:]*) (counter|gauge|histogram))");
    static const std::string value = R"re((\+Inf|-Inf|NaN|[-+]?[0-9.]+([eE][-+]?[0-9]+)?))re";
    static const std::string label = R"re([a-zA-Z_][a-zA-Z0-9_]*="([^"\\\n]|\\[\\"n])*")re";
    static const std::string labels = "(\\{(" + label + "(,(?=[a-zA-Z_]))?)*\\})?";
    static const std::regex sample("([a-zA-Z_:][a-zA-Z0-9_:]*)" + labels + " " + value);
    std::smatch found;
    if (std::regex_match(line, found, help)) {
      end_family();
      helped_ = found[1];
    } else if (std::regex_match(line, found, type)) {
      begin_family(found[1], found[2]);
    } else if (std::regex_match(line, found, sample)) {
      take(found[1], found[2], found[6]);
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

  void take(const std::string& name, const std::string& labels, const std::string& value) {
    if (!samples_.insert(name + labels).second) say("the same sample twice: " + name + labels);
    const bool is_histogram = type_ == "histogram";
    const bool belongs = is_histogram
                             ? name == name_ + "_bucket" || name == name_ + "_sum" || name == name_ + "_count"
                             : name == name_;
    if (!belongs) return say("a sample outside its family: " + name);
    if (!is_histogram) return;
    static const std::regex upper(",?le=\"([^\"]*)\"");
    std::smatch found;
    const bool has_upper = std::regex_search(labels, found, upper);
    const std::string of = std::regex_replace(labels, upper, "");
    if ((name == name_ + "_bucket") != has_upper) say("le is for buckets, and for them only: " + name);
    if (has_upper) buckets_[of].emplace_back(upper_of(found[1]), value_of(value));
    if (name == name_ + "_count") counts_[of] = value_of(value);
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
