// SPDX-License-Identifier: Apache-2.0
// Puts called procedures in the place of their calls.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/content_hash.h"
#include "daemon/procedure/procedure.h"

namespace leadwright {
namespace {

constexpr std::size_t depth_of_calls_max = 4;
constexpr std::size_t linked_steps_max = 256;

const Procedure* newest(const std::vector<Procedure>& known, const std::string& name) {
  const Procedure* found = nullptr;
  for (const Procedure& procedure : known) {
    if (procedure.name == name && (found == nullptr || procedure.version > found->version)) {
      found = &procedure;
    }
  }
  return found;
}

class Linker {
 public:
  Linker(const Procedure& root, const std::vector<Procedure>& known) : known_(known), linked_(root) {
    linked_.steps.clear();
    linked_.frames.clear();
  }

  Result<Procedure> link(const Procedure& root) {
    Result<void> added = add(root, 0, {}, {});
    if (!added) return tl::unexpected<Error>(added.error());
    if (linked_.frames.size() > 1) linked_.hash = content_hash(hashes_);
    return std::move(linked_);
  }

 private:
  /// Adds the steps of one procedure; jumps within it become indices of the whole.
  Result<void> add(const Procedure& procedure, std::size_t parent, const std::string& prefix,
                   std::vector<std::pair<std::size_t, Expression>> arguments) {
    const std::size_t frame = linked_.frames.size();
    linked_.frames.push_back(procedure.frames.front());
    linked_.frames.back().parent = frame == 0 ? 0 : parent;
    linked_.frames.back().arguments = std::move(arguments);
    hashes_ += procedure.hash;
    open_.push_back(procedure.name);
    // Where each of its steps begins in the whole, and where it ends.
    std::vector<std::size_t> begins;
    std::vector<std::size_t> own;
    for (const Step& step : procedure.steps) {
      begins.push_back(linked_.steps.size());
      if (step.call) {
        Result<void> called = add_call(step, frame, prefix);
        if (!called) return called;
        continue;
      }
      own.push_back(linked_.steps.size());
      linked_.steps.push_back(step);
      Step& copy = linked_.steps.back();
      copy.name = prefix + step.name;
      copy.frame = frame;
      for (std::string& name : copy.of) name.insert(0, prefix);
      if (linked_.steps.size() > linked_steps_max) {
        return fail(Errc::bad_input, "more than 256 steps with those of the called procedures", step.where,
                    "call fewer procedures");
      }
    }
    begins.push_back(linked_.steps.size());
    for (const std::size_t at : own) {
      Step& step = linked_.steps[at];
      if (step.branch) {
        step.branch->then = begins[step.branch->then];
        step.branch->otherwise = begins[step.branch->otherwise];
      }
      if (step.unanswered) step.unanswered = begins[*step.unanswered];
    }
    open_.pop_back();
    return {};
  }

  Result<void> add_call(const Step& step, std::size_t frame, const std::string& prefix) {
    const Procedure* const called = newest(known_, step.call->procedure);
    if (called == nullptr) {
      return fail(Errc::bad_input, fmt::format("no procedure is called \"{}\"", step.call->procedure),
                  step.where, "name one of config/procedures");
    }
    if (std::ranges::find(open_, called->name) != open_.end()) {
      return fail(Errc::bad_input, fmt::format("\"{}\" would call itself", called->name), step.where,
                  "use a decide step with times_max to do something again");
    }
    if (open_.size() > depth_of_calls_max) {
      return fail(Errc::bad_input, "calls are nested deeper than 4", step.where, "call fewer procedures");
    }
    std::vector<std::pair<std::size_t, Expression>> arguments;
    for (const auto& [word, value] : step.call->with) {
      const auto& parameters = called->frames.front().parameters;
      const auto parameter = std::ranges::find_if(
          parameters, [&word = word](const Parameter& each) { return each.word == word; });
      if (parameter == parameters.end()) {
        return fail(Errc::bad_input, fmt::format("\"{}\" has no parameter \"{}\"", called->name, word),
                    step.where, "its [parameters] are those that can be given");
      }
      if (!(parameter->initial.unit() == value.unit())) {
        return fail(Errc::bad_input,
                    fmt::format("\"{}\" is {}, and the parameter {} is {}", value.text(), value.unit().text(),
                                word, parameter->initial.unit().text()),
                    step.where, "give it the unit of its default");
      }
      arguments.emplace_back(parameter->slot, value);
    }
    linked_.needs_load |= called->needs_load;
    linked_.needs_charger |= called->needs_charger;
    linked_.needs_thermometer |= called->needs_thermometer;
    linked_.attended |= called->attended;
    if (linked_.consent.find(called->consent) == std::string::npos) {
      linked_.consent.append(linked_.consent.empty() ? "" : ", ").append(called->consent);
    }
    return add(*called, frame, prefix + step.name + ": ", std::move(arguments));
  }

  const std::vector<Procedure>& known_;
  Procedure linked_;
  std::string hashes_;
  std::vector<std::string> open_;  ///< names of those whose steps are being added
};

}  // namespace

Result<Procedure> link_calls(const Procedure& procedure, const std::vector<Procedure>& known) {
  return Linker(procedure, known).link(procedure);
}

}  // namespace leadwright
