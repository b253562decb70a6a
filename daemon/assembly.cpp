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
  std::map<std::string, const Profile*> first_on_line;
  for (const PlaceSettings& place : settings.places) {
    for (const auto* wanted : {&place.load, &place.charger, &place.thermometer}) {
      if (*wanted) plan->check_wiring(**wanted, first_on_line, errors);
    }
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  plan->settings_ = std::move(settings);
  return plan;
}

void Plan::check_wiring(const InstrumentSettings& wanted,
                        std::map<std::string, const Profile*>& first_on_line,
                        std::vector<Error>& errors) const {
  const Profile& own = *profile(wanted.profile);
  if (wanted.unit && own.dialect != DialectKind::modbus) {
    errors.push_back({Errc::bad_input, "only Modbus has units, and \"" + own.name + "\" speaks SCPI",
                      wanted.where, "remove `unit`"});
  }
  const auto [first, is_new] = first_on_line.emplace(wanted.link, &own);
  if (is_new) return;
  const Profile& other = *first->second;
  if (own.dialect != DialectKind::modbus || other.dialect != DialectKind::modbus) {
    errors.push_back({Errc::bad_input, "only Modbus units can share one line", wanted.where,
                      "give each SCPI instrument a link of its own"});
  } else if (!(own.link.serial == other.link.serial)) {
    errors.push_back(
        {Errc::bad_input,
         "\"" + own.name + "\" and \"" + other.name + "\" share a line with different serial settings",
         wanted.where, "set all units to the same baud rate, bits, parity and stop bits"});
  }
}

Result<std::unique_ptr<Instrument>> Plan::wire(const std::string& name,
                                               const std::optional<InstrumentSettings>& wanted, Clocks clocks,
                                               LinkFactory& links, Lines& lines) const {
  if (!wanted) return std::unique_ptr<Instrument>();
  const Profile* of = profile(wanted->profile);
  const Result<LinkAddress> address = LinkAddress::parse(wanted->link);
  if (!address) return tl::unexpected<Error>(address.error());
  if (address->kind != LinkAddress::Kind::memory && !of->link.allows(address->kind)) {
    return fail(Errc::bad_input, "the profile \"" + of->name + "\" does not speak over " + wanted->link,
                wanted->where, "name a link that its [link] allow lists");
  }
  std::shared_ptr<Line>& line = lines[wanted->link];
  if (!line) {
    Result<std::unique_ptr<Link>> link = links.make(*address, of->link.serial);
    if (!link) return pass(link);
    line = std::make_shared<Line>(std::move(*link), clocks.machine);
  }
  Instrument::Wiring wiring{line, address->kind, wanted->unit.value_or(of->link.unit)};
  return std::make_unique<Instrument>(name, std::move(wiring), *of, clocks.machine, clocks.bench);
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
  Lines lines;
  for (const PlaceSettings& place : settings_.places) {
    auto load = wire(place.name + ".load", place.load, clocks, links, lines);
    auto charger = wire(place.name + ".charger", place.charger, clocks, links, lines);
    auto thermometer = wire(place.name + ".thermometer", place.thermometer, clocks, links, lines);
    for (auto* wired : {&load, &charger, &thermometer}) {
      if (!*wired) return pass(*wired);
    }
    bench->add_place(place, std::make_unique<PlaceInstruments>(clocks, std::move(*load), std::move(*charger),
                                                               std::move(*thermometer)));
  }
  return bench;
}

}  // namespace leadwright
