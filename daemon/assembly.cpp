// SPDX-License-Identifier: Apache-2.0
#include "daemon/assembly.h"

#include <algorithm>
#include <filesystem>

#include "daemon/battery/design_curve_text.h"
#include "daemon/battery/estimator_settings.h"

namespace leadwright {

namespace {

void append(std::vector<Error>& all, const std::vector<Error>& more) {
  all.insert(all.end(), more.begin(), more.end());
}

std::vector<const InstrumentSettings*> instruments_of(const Settings& settings) {
  std::vector<const InstrumentSettings*> all;
  for (const PlaceSettings& place : settings.places) {
    for (const auto* wanted : {&place.load, &place.charger, &place.thermometer, &place.two_quadrant}) {
      if (*wanted) all.push_back(&**wanted);
    }
  }
  for (const BoxSettings& box : settings.boxes) all.push_back(&box.instrument);
  for (const SharedSettings& shared : settings.shared) all.push_back(&shared.instrument);
  return all;
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
  const std::vector<const InstrumentSettings*> instruments = instruments_of(settings);
  for (const InstrumentSettings* wanted : instruments) {
    if (plan->profile(wanted->profile) != nullptr) continue;
    auto profile = load_profile(wanted->profile);
    if (profile) {
      plan->profiles_.emplace_back(wanted->profile, std::make_unique<Profile>(std::move(*profile)));
    } else {
      append(errors, profile.error());
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
  if (!settings.parts_file.empty()) {
    auto parts = load_parts(settings.parts_file);
    if (parts) {
      plan->parts_ = std::move(*parts);
    } else {
      append(errors, parts.error());
    }
  }
  auto estimator = load_estimator_settings(settings.estimator_file);
  if (estimator) {
    plan->estimator_ = *estimator;
  } else {
    append(errors, estimator.error());
  }
  const auto beside_it = std::filesystem::path(settings.estimator_file).parent_path() / "designs";
  auto designs = load_design_curves(beside_it.string());
  if (designs) {
    plan->designs_ = std::move(*designs);
  } else {
    append(errors, designs.error());
  }
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  std::map<std::string, const Profile*> first_on_line;
  for (const InstrumentSettings* wanted : instruments) plan->check_wiring(*wanted, first_on_line, errors);
  plan->check_roles(settings, errors);
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

void Plan::check_roles(const Settings& settings, std::vector<Error>& errors) const {
  const auto complain = [&errors](std::string what, const std::string& where, std::string mend) {
    errors.push_back({Errc::bad_input, std::move(what), where, std::move(mend)});
  };
  const auto check_contact = [&](const ContactSettings& contact) {
    const auto box = std::ranges::find(settings.boxes, contact.box, &BoxSettings::name);
    const Profile& of = *profile(box->instrument.profile);
    if (contact.output >= of.outputs.count || contact.mirror.value_or(0) >= std::max(1, of.inputs.count)) {
      complain(box->name + " has no such output or input", contact.where, "see its profile: " + of.file);
    }
  };
  for (const BoxSettings& box : settings.boxes) {
    const Profile& of = *profile(box.instrument.profile);
    if (of.role != Role::digital_io) {
      complain("\"" + of.name + "\" is no box of outputs and inputs", box.instrument.where,
               "name a profile with role = \"digital_io\"");
    }
    const auto lacks = [&of](const BoxInputSettings& input) { return input.number >= of.inputs.count; };
    if (std::ranges::any_of(box.inputs, lacks) || box.siren.value_or(0) >= std::max(1, of.outputs.count)) {
      complain(box.name + " has no such output or input", box.instrument.where,
               "see its profile: " + of.file);
    }
  }
  const auto check_way = [&](const std::optional<WaySettings>& way, bool draws) {
    if (!way) return;
    check_contact(way->contact);
    const auto shared = std::ranges::find(settings.shared, way->shared, &SharedSettings::name);
    const Profile& of = *profile(shared->instrument.profile);
    if (of.role == (draws ? Role::load : Role::charger)) return;
    complain("\"" + of.name + "\" is no " + (draws ? "load" : "charger"), way->contact.where,
             "name a shared instrument of that role");
  };
  const auto check_role = [&](const std::optional<InstrumentSettings>& wanted, Role role) {
    if (!wanted || profile(wanted->profile)->role == role) return;
    complain("\"" + profile(wanted->profile)->name + "\" is no " + word(role), wanted->where,
             std::string("name a profile with role = \"") + word(role) + "\"");
  };
  for (const PlaceSettings& place : settings.places) {
    check_role(place.load, Role::load);
    check_role(place.charger, Role::charger);
    check_role(place.thermometer, Role::thermometer);
    check_role(place.two_quadrant, Role::two_quadrant);
    if (place.isolator) check_contact(*place.isolator);
    check_way(place.shared_load, true);
    check_way(place.shared_charger, false);
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
  Instrument::Wiring wiring{line, address->kind, wanted->unit.value_or(of->link.unit),
                            wanted->calibration_due};
  return std::make_unique<Instrument>(name, std::move(wiring), *of, clocks.machine, clocks.bench);
}

Result<std::unique_ptr<Bench>> Plan::build(Clocks clocks, Store& store, LinkFactory& links) const {
  BenchSettings bench_settings;
  bench_settings.name = settings_.bench_name;
  bench_settings.simulated = settings_.bench_time.has_value();
  bench_settings.policy = policy_;
  bench_settings.parts = parts_;
  bench_settings.estimator = estimator_;
  bench_settings.designs = designs_;
  bench_settings.procedures = procedures_;
  bench_settings.precautions = settings_.precautions;
  bench_settings.alarm = settings_.alarm;
  bench_settings.software = software_version;
  auto bench = std::make_unique<Bench>(std::move(bench_settings), clocks, store);
  Lines lines;
  for (const BoxSettings& box : settings_.boxes) {
    auto instrument = wire(box.name, box.instrument, clocks, links, lines);
    if (!instrument) return pass(instrument);
    bench->add_box(box, std::move(*instrument));
  }
  for (const SharedSettings& shared : settings_.shared) {
    auto instrument = wire(shared.name, shared.instrument, clocks, links, lines);
    if (!instrument) return pass(instrument);
    bench->add_shared(std::move(*instrument));
  }
  for (const PlaceSettings& place : settings_.places) {
    auto load = wire(place.name + ".load", place.load, clocks, links, lines);
    auto charger = wire(place.name + ".charger", place.charger, clocks, links, lines);
    auto thermometer = wire(place.name + ".thermometer", place.thermometer, clocks, links, lines);
    auto two_quadrant = wire(place.name + ".two_quadrant", place.two_quadrant, clocks, links, lines);
    for (auto* wired : {&load, &charger, &thermometer, &two_quadrant}) {
      if (!*wired) return pass(*wired);
    }
    PlaceWiring wiring;
    wiring.place = place.name;
    wiring.load = std::move(*load);
    wiring.charger = std::move(*charger);
    wiring.thermometer = std::move(*thermometer);
    wiring.two_quadrant = std::move(*two_quadrant);
    bench->add_place(place, std::move(wiring));
  }
  return bench;
}

}  // namespace leadwright
