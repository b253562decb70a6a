// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/modbus_instrument.h"

#include <utility>

namespace leadwright {

using namespace sim_registers;

ModbusInstrument::ModbusInstrument(Kind kind, int channels, const SimInstrumentOptions& options,
                                   const ModbusOptions& modbus, Terminals& posts, const Clock& bench)
    : SimInstrument(options, posts, bench), alone_(ModbusServer::Framing::rtu, bench, modbus.silence) {
  alone_.add(1, *this);
  add_identity(kind, channels, modbus.serial);
  add_watchdog();
}

void ModbusInstrument::request(std::string_view pdu, std::string& answer) {
  if (!has_mains()) return;
  if (has_fault(Fault::busy)) refuse(ModbusException::busy, 1);
  if (has_fault(Fault::broken)) refuse(ModbusException::failure, 1);
  unheard_.clear();
  serve(pdu, has_fault(Fault::no_answer) ? unheard_ : answer);
}

void ModbusInstrument::begin_request() {
  begin();
  arm();
}

void ModbusInstrument::arm() {
  switch_off_at(watchdog_ > Second(0.0) ? std::optional<Instant>(now() + watchdog_ * bench().scale())
                                        : std::nullopt);
}

void ModbusInstrument::restarted() {
  ++starts_;
  is_restarted_ = true;
  watchdog_ = Second(0.0);
}

void ModbusInstrument::add_identity(Kind kind, int channels, int serial) {
  const auto constant = [this](int at, int value) {
    add_input(at, [value] { return static_cast<std::uint16_t>(value); });
  };
  add_input(in_maker, [this] { return has_fault(Fault::wrong_identity) ? other_maker : maker; });
  constant(in_kind, static_cast<int>(kind));
  constant(in_version, layout_version);
  add_input_f32(in_scale, [this] { return bench().scale(); });
  constant(in_serial, serial);
  add_input(in_starts, [this] { return static_cast<std::uint16_t>(starts_); });
  constant(in_channels, channels);
  add_coil(
      coil_restarted, [this] { return is_restarted_; },
      [this](bool state) {
        is_restarted_ = is_restarted_ && state;
        return ModbusException::none;
      });
  add_discrete(bit_restarted, [this] { return is_restarted_; });
}

void ModbusInstrument::add_watchdog() {
  add_scaled(
      hold_watchdog, watchdog_step_s, watchdog_max_s, [this] { return watchdog_.si(); },
      [this](double seconds) {
        watchdog_ = Second(seconds);
        forgive();
        arm();
      });
  add_discrete(bit_watchdog, [this] { return is_expired(); });
}

void ModbusInstrument::add_trips(Protection& over_volts, Protection& over_amps, std::function<void()> clear) {
  const auto add_level = [this](int at, Protection& protection) {
    add_scaled(
        at, setting_step, protection.level_max(),
        [&protection] { return protection.is_enabled() ? protection.level() : 0.0; },
        [&protection](double level) {
          if (level > 0.0) protection.set_level(level);
          protection.enable(level > 0.0);
        });
  };
  add_level(hold_trip_volts, over_volts);
  add_level(hold_trip_amps, over_amps);
  add_discrete(bit_over_volts, [&over_volts] { return over_volts.is_tripped(); });
  add_discrete(bit_over_amps, [&over_amps] { return over_amps.is_tripped(); });
  add_coil(
      coil_clear, [] { return false; },
      [this, &over_volts, &over_amps, clear = std::move(clear)](bool state) {
        if (!state) return ModbusException::none;
        over_volts.clear();
        over_amps.clear();
        clear();
        forgive();
        return ModbusException::none;
      });
}

void ModbusInstrument::add_switch(std::function<bool(bool)> turn, std::function<bool()> is_on) {
  add_coil(coil_on, std::move(is_on), [turn = std::move(turn)](bool state) {
    return turn(state) ? ModbusException::none : ModbusException::failure;
  });
}

void ModbusInstrument::add_sample(std::function<double()> volts, std::function<double()> amps) {
  add_input_f32(in_sample, std::move(volts));
  add_input_f32(in_sample + 2, std::move(amps));
}

}  // namespace leadwright
