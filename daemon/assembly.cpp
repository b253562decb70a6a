// SPDX-License-Identifier: Apache-2.0
#include "daemon/assembly.h"

#include <algorithm>

#include "daemon/battery/estimator_settings.h"

namespace leadwright {

namespace {

void append(std::vector<Error>& all, const std::vector<Error>& more) {
  all.insert(all.end(), more.begin(), more.end());
}

}  // namespace

const Profile* Plan::profile(const std::string& path) const {
  const auto found =
      std::ranges::find_if(profiles_, [&path](const auto& entry) { return entry.first == path; });
  return found == profiles_.end() ? nullptr : found->second.get();
}

tl::expected<std::unique_ptr<Plan>, std::vector<Error>> Plan::read(Settings settings) {
  auto plan = std::make_unique<Plan>();
  std::vector<Error> errors;
  for (const PlaceSettings& place : settings.places) {
    for (const auto* wanted : {&place.load, &place.charger, &place.thermometer}) {
      if (!*wanted || plan->profile((*wanted)->profile) != nullptr) continue;
      auto profile = load_profile((*wanted)->profile);
      if (profile) {
        plan->profiles_.emplace_back((*wanted)->profile, std::make_unique<Profile>(std::move(*profile)));
      } else {
        append(errors, profile.error());
      }
    }
  }
  auto procedures = load_procedures(settings.procedures_folder);
  if (procedures) {
    plan->procedures_ = std::move(*procedures);
  } else {
    append(errors, procedures.error());
  }
  auto policy = load_policy(settings.policy_file);
  if (policy) {
    plan->policy_ = std::move(*policy);
  } else {
    append(errors, policy.error());
  }
  auto estimator = load_estimator_settings(settings.estimator_file);
  if (estimator) {
    plan->estimator_ = *estimator;
  } else {
    append(errors, estimator.error());
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  plan->settings_ = std::move(settings);
  return plan;
}

Result<std::unique_ptr<Instrument>> Plan::wire(const std::string& name,
                                               const std::optional<InstrumentSettings>& wanted, Clocks clocks,
                                               LinkFactory& links) const {
  if (!wanted) return std::unique_ptr<Instrument>();
  const Profile* of = profile(wanted->profile);
  const Result<LinkAddress> address = LinkAddress::parse(wanted->link);
  if (!address) return tl::unexpected<Error>(address.error());
  if (address->kind != LinkAddress::Kind::memory && !of->link.allows(address->kind)) {
    return fail(Errc::bad_input, "the profile \"" + of->name + "\" does not speak over " + wanted->link,
                wanted->where, "name a link that its [link] allow lists");
  }
  Result<std::unique_ptr<Link>> link = links.make(*address, of->link.serial);
  if (!link) return pass(link);
  return std::make_unique<Instrument>(name, std::move(*link), *of, clocks.machine, clocks.bench);
}

Result<std::unique_ptr<Bench>> Plan::build(Clocks clocks, Store& store, LinkFactory& links) const {
  BenchSettings bench_settings;
  bench_settings.name = settings_.bench_name;
  bench_settings.simulated = settings_.bench_time.has_value();
  bench_settings.policy = policy_;
  bench_settings.estimator = estimator_;
  bench_settings.procedures = procedures_;
  bench_settings.software = software_version;
  auto bench = std::make_unique<Bench>(std::move(bench_settings), clocks, store);
  for (const PlaceSettings& place : settings_.places) {
    auto load = wire(place.name + ".load", place.load, clocks, links);
    auto charger = wire(place.name + ".charger", place.charger, clocks, links);
    auto thermometer = wire(place.name + ".thermometer", place.thermometer, clocks, links);
    for (auto* wired : {&load, &charger, &thermometer}) {
      if (!*wired) return pass(*wired);
    }
    bench->add_place(place, std::make_unique<PlaceInstruments>(clocks, std::move(*load), std::move(*charger),
                                                               std::move(*thermometer)));
  }
  return bench;
}

}  // namespace leadwright
