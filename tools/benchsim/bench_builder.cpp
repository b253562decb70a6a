// SPDX-License-Identifier: Apache-2.0
// Puts the instruments of a bench together from its options.
#include <utility>

#include "tools/benchsim/bench_parts.h"
#include "tools/benchsim/modbus_charger.h"
#include "tools/benchsim/modbus_load.h"
#include "tools/benchsim/modbus_thermometer.h"
#include "tools/benchsim/sim_charger.h"
#include "tools/benchsim/sim_load.h"
#include "tools/benchsim/sim_thermometer.h"
#include "tools/benchsim/sim_two_quadrant.h"

namespace leadwright {

class SimBench::Builder {
 public:
  explicit Builder(SimBench& bench) : bench_(bench), options_(bench.options_) {}

  void build() {
    for (int i = 1; i <= options_.bays; ++i) add_place("bay-" + std::to_string(i), true);
    for (int i = 1; i <= options_.charging_places; ++i) add_place("charge-" + std::to_string(i), false);
    if (options_.one_thermometer && !bench_.places_.empty()) add_one_thermometer();
    for (int i = 1; i <= options_.shared_loads; ++i) {
      add_load("load-" + std::to_string(i), options_.shared, nullptr);
    }
    for (int i = 1; i <= options_.shared_chargers; ++i) {
      add_charger("charger-" + std::to_string(i), options_.shared, nullptr);
    }
    for (int i = 1; i <= options_.relay_boxes; ++i) add_box("box-" + std::to_string(i));
  }

 private:
  using Kind = Equipped::Kind;

  void add_place(std::string name, bool is_bay) {
    Place& place = *bench_.places_.emplace_back(std::make_unique<Place>());
    place.name = std::move(name);
    const bool has_both = is_bay && options_.two_quadrant;
    if (has_both) {
      place.takes_load = place.takes_charger = true;
      add_scpi<SimTwoQuadrant>(Kind::two_quadrant, place.name + ".two_quadrant", place.terminals);
    } else {
      place.takes_load = is_bay && options_.loads != SimSpeech::none;
      place.takes_charger = options_.chargers != SimSpeech::none;
      if (is_bay) add_load(place.name + ".load", options_.loads, &place.terminals);
      add_charger(place.name + ".charger", options_.chargers, &place.terminals);
    }
    if (!options_.one_thermometer) add_thermometer(place);
  }

  /// Without posts it is a shared one, on leads of its own.
  void add_load(std::string name, SimSpeech speech, Terminals* posts) {
    if (speech == SimSpeech::scpi) {
      add_scpi<SimLoad>(Kind::load, std::move(name), posts);
    } else if (speech == SimSpeech::modbus) {
      add_modbus<ModbusLoad>(Kind::load, std::move(name), posts);
    }
  }
  void add_charger(std::string name, SimSpeech speech, Terminals* posts) {
    if (speech == SimSpeech::scpi) {
      add_scpi<SimCharger>(Kind::charger, std::move(name), posts);
    } else if (speech == SimSpeech::modbus) {
      add_modbus<ModbusCharger>(Kind::charger, std::move(name), posts);
    }
  }
  void add_thermometer(Place& place) {
    std::string name = place.name + ".thermometer";
    if (options_.thermometers == SimSpeech::scpi) {
      add_scpi<SimThermometer>(Kind::thermometer, std::move(name), place.terminals);
    } else if (options_.thermometers == SimSpeech::modbus) {
      add_thermometer(std::move(name), {&place.terminals});
    }
  }
  void add_one_thermometer() {
    std::vector<Terminals*> all;
    for (const auto& place : bench_.places_) all.push_back(&place->terminals);
    add_thermometer("thermometer", all);
  }
  void add_thermometer(std::string name, const std::vector<Terminals*>& places) {
    auto thermometer =
        std::make_unique<ModbusThermometer>(options_for(std::move(name)), modbus(), places, bench_.bench_);
    plug_in(Kind::thermometer, std::move(thermometer), nullptr);
  }
  void add_box(std::string name) {
    auto box =
        std::make_unique<RelayBox>(options_for(std::move(name)), modbus(), bench_.nowhere_, bench_.bench_);
    bench_.contacts_.add_box(box->relays());
    plug_in(Kind::relay_box, std::move(box), nullptr);
  }

  template <class Made>
  void add_scpi(Kind kind, std::string name, Terminals& posts) {
    add_scpi<Made>(kind, std::move(name), &posts);
  }
  template <class Made>
  void add_scpi(Kind kind, std::string name, Terminals* posts) {
    std::unique_ptr<Terminals> leads = posts ? nullptr : std::make_unique<Terminals>();
    auto made = std::make_unique<Made>(options_for(name), posts ? *posts : *leads, bench_.bench_);
    add_line(name, SimLine::Speech::scpi, *made);
    keep(kind, std::move(made), {name, 1}, std::move(leads));
  }
  template <class Made>
  void add_modbus(Kind kind, std::string name, Terminals* posts) {
    std::unique_ptr<Terminals> leads = posts ? nullptr : std::make_unique<Terminals>();
    auto made = std::make_unique<Made>(options_for(std::move(name)), modbus(), posts ? *posts : *leads,
                                       bench_.bench_);
    plug_in(kind, std::move(made), std::move(leads));
  }

  SimInstrumentOptions options_for(std::string name) const {
    return {std::move(name), options_.ideal, options_.seed, options_.heavy_loads, options_.noise_by_moment};
  }
  ModbusOptions modbus() const {
    return {static_cast<int>(bench_.instruments_.size()) + 1, options_.rtu_silence};
  }

  /// On a line of its own or on the one that it shares.
  void plug_in(Kind kind, std::unique_ptr<ModbusInstrument> made, std::unique_ptr<Terminals> leads) {
    using SharedLine = SimBenchOptions::SharedLine;
    Shared alone;
    Shared* servers = &alone;
    std::string line = made->name();
    if (options_.shared_line == SharedLine::all) {
      servers = &bus_;
      line = "bus";
    } else if (options_.shared_line == SharedLine::thermometers && kind == Kind::thermometer) {
      servers = &thermometers_;
      line = "thermometers";
    }
    if (!servers->rtu) {
      servers->rtu = add_server(ModbusServer::Framing::rtu);
      servers->tcp = add_server(ModbusServer::Framing::tcp);
      add_line(line, SimLine::Speech::modbus_rtu, *servers->rtu);
      add_line(line + ".tcp", SimLine::Speech::modbus_tcp, *servers->tcp);
    }
    const int unit = static_cast<int>(servers->rtu->units()) + 1;
    servers->rtu->add(unit, *made);
    servers->tcp->add(unit, *made);
    keep(kind, std::move(made), {line, unit}, std::move(leads));
  }

  ModbusServer* add_server(ModbusServer::Framing framing) {
    auto server = std::make_unique<ModbusServer>(framing, bench_.bench_, options_.rtu_silence);
    return bench_.servers_.emplace_back(std::move(server)).get();
  }
  void add_line(std::string name, SimLine::Speech speech, LineEnd& end) {
    bench_.lines_.push_back(std::make_unique<SimLine>(std::move(name), speech, end, options_.answer_after));
  }
  void keep(Kind kind, std::unique_ptr<SimInstrument> made, Address address,
            std::unique_ptr<Terminals> leads) {
    bench_.instruments_.push_back(
        std::make_unique<Equipped>(Equipped{kind, std::move(made), std::move(address), std::move(leads)}));
  }

  struct Shared {
    ModbusServer* rtu = nullptr;
    ModbusServer* tcp = nullptr;
  };
  SimBench& bench_;
  const SimBenchOptions& options_;
  Shared thermometers_;
  Shared bus_;
};

SimBench::SimBench(SimBenchOptions options, const Clock& bench) : options_(options), bench_(bench) {
  nowhere_.set_surroundings(&contacts_);
  Builder(*this).build();
}

SimBench::~SimBench() = default;

}  // namespace leadwright
