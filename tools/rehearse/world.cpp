// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/world.h"

#include <cstdlib>
#include <optional>

namespace leadwright {

namespace {

constexpr const char* actor = "rehearsal";

/// An instrument of the simulated bench, by its name there and the rest of its profile's name.
InstrumentSettings wired_to(const SimBench& sim, const std::string& name, SimSpeech speech,
                            const std::string& kind, const std::string& config_folder) {
  const bool is_modbus = speech == SimSpeech::modbus;
  const auto address = sim.address(name);
  InstrumentSettings instrument;
  instrument.profile = config_folder + "/profiles/simulated_" + (is_modbus ? "modbus_" : "") + kind + ".toml";
  instrument.link = "memory:" + address->line;
  if (is_modbus) instrument.unit = address->unit;
  return instrument;
}

PlaceSettings place_settings(const std::string& name, PlaceKind kind, const SimBench& sim,
                             const WorldOptions& options) {
  PlaceSettings place;
  place.name = name;
  place.kind = kind;
  const auto wired = [&](const std::string& role) {
    const SimSpeech speech = role == "charger" ? options.chargers.value_or(options.speech) : options.speech;
    const bool is_heavy = role == "load" && options.heavy_loads;
    return wired_to(sim, name + "." + role, speech, is_heavy ? "heavy_load" : role, options.config_folder);
  };
  if (kind == PlaceKind::shelf) return place;
  if (sim.address(name + ".two_quadrant")) {
    place.two_quadrant = wired("two_quadrant");
    place.thermometer = wired("thermometer");
    return place;
  }
  if (kind == PlaceKind::bay && sim.address(name + ".load")) place.load = wired("load");
  place.charger = wired("charger");
  place.thermometer = wired("thermometer");
  return place;
}

constexpr const char* box_name = "box-1";
constexpr const char* shared_name = "load-1";
constexpr int mirrors_at = 8;  // of the simulated box: the auxiliary contacts
constexpr int siren_output = 7;

bool has_isolators(Switchgear gear) {
  return gear == Switchgear::isolators || gear == Switchgear::both;
}
bool has_shared_load(Switchgear gear) {
  return gear == Switchgear::shared_load || gear == Switchgear::both;
}

/// Hands links on with the world's tap in them.
class TappedLinks final : public LinkFactory {
 public:
  TappedLinks(LinkFactory& links, WireTap tap) : links_(links), tap_(std::move(tap)) {}
  Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) override {
    Result<std::unique_ptr<Link>> link = links_.make(address, serial);
    if (link) (*link)->tap = tap_;
    return link;
  }

 private:
  LinkFactory& links_;
  WireTap tap_;
};

}  // namespace

World::World(WorldOptions options)
    : options_(std::move(options)), links_(clock_), store_(clock_, StorePlan{.seed = options_.seed}) {
  SimBenchOptions sim;
  sim.bays = options_.bays;
  sim.charging_places = options_.charging_places;
  sim.ideal = options_.ideal;
  sim.noise_by_moment = options_.noise_by_moment;
  sim.seed = options_.seed;
  sim.answer_after = options_.answer_after;
  sim.loads = sim.chargers = sim.thermometers = options_.speech;
  if (options_.chargers) sim.chargers = *options_.chargers;
  if (options_.speech == SimSpeech::modbus) sim.shared_line = SimBenchOptions::SharedLine::thermometers;
  if (has_shared_load(options_.switchgear)) {
    sim.loads = SimSpeech::none;
    sim.shared_loads = 1;
  }
  sim.heavy_loads = options_.heavy_loads;
  sim.two_quadrant = options_.two_quadrant;
  if (options_.switchgear != Switchgear::none || options_.alarms) sim.relay_boxes = 1;
  sim_ = std::make_unique<SimBench>(sim, clock_);
  sim_->add_to(links_, options_.link_faults);
}

World::~World() = default;

std::vector<Error> World::read_config() {
  Settings settings;
  settings.bench_name = "rehearsal";
  settings.bench_time = "virtual";
  settings.procedures_folder = options_.config_folder + "/procedures";
  settings.policy_file = options_.config_folder + "/policies/bench.toml";
  settings.estimator_file = options_.config_folder + "/estimator.toml";
  for (const std::string& name : sim_->place_names()) {
    const PlaceKind kind = name.rfind("bay", 0) == 0 ? PlaceKind::bay : PlaceKind::charging;
    settings.places.push_back(place_settings(name, kind, *sim_, options_));
  }
  settings.places.push_back(place_settings("shelf", PlaceKind::shelf, *sim_, options_));
  for (PlaceSettings& place : settings.places) place.attended_only = options_.attended_only;
  wire_switchgear(settings);
  if (options_.change_settings) options_.change_settings(settings);
  auto plan = Plan::read(std::move(settings));
  if (!plan) return std::move(plan.error());
  plan_ = std::move(*plan);
  return {};
}

void World::wire_switchgear(Settings& settings) {
  if (sim_->relay_box(box_name) == nullptr) return;
  BoxSettings box;
  box.name = box_name;
  box.instrument = wired_to(*sim_, box_name, SimSpeech::modbus, "relay", options_.config_folder);
  if (options_.alarms) {
    box.siren = siren_output;
    box.inputs = {
        {0, InputMeans::stop}, {1, InputMeans::smoke}, {2, InputMeans::gas}, {3, InputMeans::airflow}};
    for (const auto& input : box.inputs) sim_->relay_box(box_name)->relays().set_input(input.number, true);
  }
  settings.boxes.push_back(std::move(box));
  int output = 0;
  const auto contact = [&](const std::string& sentence) {
    const auto done = sim_->wire(std::string(box_name).append(".").append(std::to_string(output)) + sentence);
    if (!done) std::abort();
    const int wired_output = output++;
    return ContactSettings{box_name, wired_output, mirrors_at + wired_output, {}};
  };
  for (PlaceSettings& place : settings.places) {
    if (place.kind == PlaceKind::shelf) continue;
    if (has_isolators(options_.switchgear)) place.isolator = contact(" isolates " + place.name);
    if (place.kind != PlaceKind::bay || !has_shared_load(options_.switchgear)) continue;
    place.shared_load = WaySettings{
        shared_name, contact(std::string(" connects ").append(shared_name) + " to " + place.name)};
  }
  if (has_shared_load(options_.switchgear)) {
    settings.shared.push_back(
        {shared_name, wired_to(*sim_, shared_name, SimSpeech::scpi, "load", options_.config_folder)});
  }
}

void World::begin() {
  TappedLinks tapped(links_, options_.tap);
  auto bench = plan_->build({clock_, clock_}, store_, tapped);
  auto stored = store_.load();
  if (!bench || !stored) std::abort();
  bench_ = std::move(*bench);
  bench_->begin(std::move(*stored));
}

void World::restart() {
  begin();
  clock_.run_until(
      [this] {
        for (const auto& place : bench_->places()) {
          if (place->activity() == Activity::connecting) return false;
        }
        return true;
      },
      clock_.now() + minutes(5.0));
}

tl::expected<std::unique_ptr<World>, std::vector<Error>> World::make(WorldOptions options) {
  std::unique_ptr<World> world(new World(std::move(options)));
  std::vector<Error> errors = world->read_config();
  if (!errors.empty()) return tl::unexpected(std::move(errors));
  if (world->options_.begun) world->restart();
  return world;
}

void World::kill() {
  store_.power_cut();
  bench_.reset();
}

Response World::ask(const std::string& verb, const std::string& subject, const std::string& body) {
  Request request;
  request.verb = verb;
  request.subject = subject;
  request.body = body;
  return ask(std::move(request));
}

Response World::ask(Request request) {
  std::optional<Response> response;
  if (request.actor.empty()) request.actor = actor;
  bench_->handle(std::move(request), [&response](Response answer) { response = std::move(answer); });
  clock_.run_until([&response] { return response.has_value(); }, clock_.now() + minutes(5.0));
  return response.value_or(Response{503, "{}"});
}

Response World::start(const std::string& place, const std::string& procedure) {
  Response acknowledged = ask("place.acknowledge", place, R"({"of":"cautions"})");
  if (acknowledged.status != 200) return acknowledged;
  return ask("place.start", place, procedure.empty() ? "" : R"({"procedure":")" + procedure + R"("})");
}

bool World::finish(const std::string& place, Second limit) {
  const Place* at = bench_->place(place);
  return clock_.run_until([at] { return at->activity() != Activity::running; }, clock_.now() + limit);
}

std::uint64_t World::exchanges() const {
  std::uint64_t sum = 0;
  for (const auto& place : bench_->places()) {
    for (const Instrument* instrument : place->instruments().all()) sum += instrument->counters().exchanges;
  }
  return sum;
}

std::string default_config_folder() {
  if (const char* named = std::getenv("LEADWRIGHT_CONFIG"); named != nullptr && *named != '\0') return named;
  return LEADWRIGHT_CONFIG_FOLDER;
}

}  // namespace leadwright
