// SPDX-License-Identifier: Apache-2.0
// Profile files to Profile: what is the same in every dialect. The words of a dialect are read in
// profile_scpi.cpp and profile_modbus.cpp.
#include <algorithm>

#include "drivers/profile.h"
#include "drivers/profile_tables.h"

namespace leadwright {

namespace {

Role read_role(const TomlTable& root) {
  const std::string text = root.need_string("role");
  for (const Role role :
       {Role::load, Role::charger, Role::two_quadrant, Role::thermometer, Role::digital_io}) {
    if (text == word(role)) return role;
  }
  if (!text.empty()) {
    root.error("role", "unknown role",
               "write \"load\", \"charger\", \"two_quadrant\", \"thermometer\" or \"digital_io\"");
  }
  return Role::load;
}

SerialSettings read_serial(const TomlTable& table) {
  SerialSettings serial;
  serial.baud = static_cast<int>(table.integer("baud").value_or(9600));
  serial.bits = static_cast<int>(table.integer("bits").value_or(8));
  serial.stop = static_cast<int>(table.integer("stop").value_or(1));
  serial.boot = milliseconds(table, "boot_ms", 0.0);
  const std::string parity = table.string("parity").value_or("none");
  if (parity == "even") {
    serial.parity = SerialSettings::Parity::even;
  } else if (parity == "odd") {
    serial.parity = SerialSettings::Parity::odd;
  } else if (parity != "none") {
    table.error("parity", "unknown parity", "write \"none\", \"even\" or \"odd\"");
  }
  const std::string flow = table.string("flow").value_or("none");
  if (flow == "rts_cts") {
    serial.flow = SerialSettings::Flow::rts_cts;
  } else if (flow == "xon_xoff") {
    serial.flow = SerialSettings::Flow::xon_xoff;
  } else if (flow != "none") {
    table.error("flow", "unknown flow control", "write \"none\", \"rts_cts\" or \"xon_xoff\"");
  }
  serial.dtr = table.boolean("dtr").value_or(true);
  serial.rts = table.boolean("rts").value_or(true);
  serial.rs485 = table.boolean("rs485").value_or(false);
  serial.low_latency = table.boolean("low_latency").value_or(false);
  if (serial.bits != 7 && serial.bits != 8) table.error("bits", "7 or 8 bits only", "write bits = 8");
  if (serial.stop != 1 && serial.stop != 2) table.error("stop", "1 or 2 stop bits only", "write stop = 1");
  return serial;
}

/// The bus address, and what a serial bus does to frames.
void read_modbus_link(const TomlTable& table, LinkNeeds& needs) {
  const std::int64_t unit = table.integer("unit").value_or(1);
  // 248 to 255 are reserved on a serial line; 255 is what a TCP unit without one is asked by.
  if (unit >= 1 && unit <= 255) {
    needs.unit = static_cast<int>(unit);
  } else {
    table.error("unit", "out of range", "write 1 to 247: 0 is everybody, and nobody answers");
  }
  const std::string framing = table.string("framing").value_or("auto");
  needs.is_rtu_over_tcp = framing == "rtu";
  if (framing != "auto" && framing != "rtu") {
    table.error("framing", "unknown framing", "leave it out, or write \"rtu\" for RTU frames over TCP");
  }
  needs.gap = milliseconds(table, "quiet_ms", 4.0);
}

LinkNeeds read_link(const TomlTable& table, DialectKind dialect) {
  LinkNeeds needs;
  for (const std::string& kind : table.strings("allow")) {
    if (kind == "serial") {
      needs.allowed.push_back(LinkAddress::Kind::serial);
    } else if (kind == "usbtmc" && dialect == DialectKind::scpi) {
      needs.allowed.push_back(LinkAddress::Kind::usbtmc);
    } else if (kind == "tcp") {
      needs.allowed.push_back(LinkAddress::Kind::tcp);
    } else if (kind == "memory") {
      needs.allowed.push_back(LinkAddress::Kind::memory);
    } else {
      table.error("allow", std::string("unknown kind of link: ").append(kind),
                  dialect == DialectKind::scpi ? "write \"serial\", \"usbtmc\", \"tcp\" or \"memory\""
                                               : "write \"serial\", \"tcp\" or \"memory\"");
    }
  }
  if (!table.has("allow")) table.error("allow", "missing key `allow`", "add allow = [\"serial\"]");
  if (const auto serial = table.table("serial")) {
    needs.serial = read_serial(*serial);
    needs.echo = serial->boolean("echo").value_or(false);
    if (needs.echo && dialect != DialectKind::modbus) {
      serial->error("echo", "only Modbus frames can be told from their echo", "remove it");
    }
  }
  if (const auto tcp = table.table("tcp")) needs.tcp_port = static_cast<int>(tcp->need_integer("port"));
  needs.timeout = milliseconds(table, "timeout_ms", 300.0);
  const double timeout_ms = needs.timeout.si() * 1000.0;
  needs.lock = milliseconds(table, "lock_ms", timeout_ms);
  needs.write = milliseconds(table, "write_ms", timeout_ms);
  needs.first_byte = milliseconds(table, "first_byte_ms", timeout_ms);
  needs.next_byte = milliseconds(table, "next_byte_ms", timeout_ms);
  const std::int64_t retries = table.integer("read_retries").value_or(2);
  if (retries < 0 || retries > 5) table.error("read_retries", "out of range", "write 0 to 5");
  needs.read_retries = static_cast<int>(std::clamp<std::int64_t>(retries, 0, 5));
  if (dialect == DialectKind::modbus) {
    read_modbus_link(table, needs);
  } else {
    needs.gap = milliseconds(table, "gap_ms", 0.0);
  }
  const std::int64_t reply_max = table.integer("reply_max_bytes").value_or(512);
  if (reply_max < 16 || reply_max > 65536) {
    table.error("reply_max_bytes", "out of range", "write 16 to 65536");
  } else {
    needs.reply_max_bytes = static_cast<std::size_t>(reply_max);
  }
  return needs;
}

void read_watchdog(const TomlTable& table, Profile& profile) {
  profile.stale = milliseconds(table, "stale_ms", 0.0);
  profile.frozen_after = static_cast<int>(table.integer("frozen_after").value_or(0));
  profile.recheck = Second(table.need_number("recheck_s"));
  if (profile.stale <= Second(0.0)) table.error("stale_ms", "must be above 0", "write stale_ms = 1000");
  if (profile.frozen_after < 0) table.error("frozen_after", "must not be negative", "write 0 for never");
}

template <class Difference>
void read_limits(const TomlTable& table, ErrorLimits<Difference>& limits) {
  limits.relative = table.need_number("rel");
  limits.absolute = Difference(table.need_number("abs"));
  limits.resolution = Difference(table.need_number("resolution"));
  const bool is_positive =
      limits.relative >= 0.0 && limits.absolute >= Difference(0.0) && limits.resolution >= Difference(0.0);
  if (!is_positive) table.error({}, "accuracy can't be negative", {});
}

/// `{ rel, abs, resolution }`, or an array of them with `up_to`, the smallest range first.
template <class Difference>
ReadingAccuracy<Difference> read_accuracy(const TomlTable& table, std::string_view key, bool is_needed) {
  ReadingAccuracy<Difference> accuracy;
  if (!is_needed && !table.has(key)) return accuracy;
  if (!table.holds_array(key)) {
    read_limits<Difference>(table.need_table(key), accuracy);
    return accuracy;
  }
  for (const TomlTable& one : table.tables(key)) {
    typename ReadingAccuracy<Difference>::Range range;
    read_limits<Difference>(one, range);
    range.up_to = Difference(one.need_number("up_to"));
    if (!accuracy.ranges.empty() && range.up_to <= accuracy.ranges.back().up_to) {
      one.error("up_to", "must rise from range to range", "put the smallest range first");
    }
    accuracy.ranges.push_back(range);
  }
  if (accuracy.ranges.empty()) {
    table.error(key, "needs at least one range", "add { up_to, rel, abs, resolution }");
  } else {
    static_cast<ErrorLimits<Difference>&>(accuracy) = accuracy.ranges.back();
  }
  return accuracy;
}

void read_reach(const TomlTable& table, Profile& profile) {
  if (const auto watts = table.number("watts_max")) profile.watts_max = Watt(*watts);
  if (const auto volts = table.number("full_current_volts_min"))
    profile.full_current_volts_min = Volt(*volts);
  profile.sample_time = milliseconds(table, "sample_ms", 0.0);
  if (profile.watts_max && *profile.watts_max <= Watt(0.0)) {
    table.error("watts_max", "must be above 0", "write watts_max = 300.0");
  }
}

void take_reach(Profile& profile) {
  if (const auto* amps = profile.setting(profile.draws() ? Capability::set_amps : Capability::limit_amps)) {
    profile.amps_min = Ampere(amps->min);
    profile.amps_max = Ampere(amps->max);
  }
  if (const Setting* volts = profile.setting(Capability::set_volts)) {
    profile.volts_min = Volt(volts->min);
    profile.volts_max = Volt(volts->max);
  }
}

void check_box(const TomlTable& root, const Profile& profile) {
  if (profile.outputs.count == 0 && profile.inputs.count == 0) {
    root.error({}, "a digital_io must have [outputs] or [inputs]", "add [outputs]");
  }
  if (root.has("can")) root.error("can", "a box only switches and looks", "remove it");
}

void check_role(const TomlTable& root, const Profile& profile) {
  const auto need = [&](Capability capability) {
    if (profile.has(capability)) return;
    const std::string table = std::string("[can.").append(word(capability)).append("]");
    root.error({}, std::string("a ").append(word(profile.role)).append(" must have ").append(table),
               std::string("add ").append(table));
  };
  const auto need_reading = [&](ReadingOf measurand) {
    if (profile.measures(measurand)) return;
    root.error("sample", std::string("a sample must give ").append(word(measurand)), "add it to the sample");
  };
  if (profile.role == Role::digital_io) return check_box(root, profile);
  if (profile.role == Role::thermometer) {
    need_reading(ReadingOf::temperature);
    if (root.has("can")) root.error("can", "a thermometer only reads", "remove it");
    return;
  }
  if (profile.draws()) {
    need(Capability::set_amps);
    need(Capability::draw);
  } else if (profile.draw) {
    root.error("can", "a charger has no input to switch", "name it [can.output]");
  }
  if (profile.gives()) {
    need(Capability::set_volts);
    need(Capability::limit_amps);
    need(Capability::give);
  } else if (profile.give) {
    root.error("can", "a load has no output to switch", "name it [can.input]");
  }
  need_reading(ReadingOf::volts);
  need_reading(ReadingOf::amps);
}

void check_times(const TomlTable& root, const Profile& profile) {
  if (profile.link.timeout <= profile.stale / 3.0) return;
  root.need_table("link").error("timeout_ms", "must be at most a third of watchdog.stale_ms",
                                "so that a lost answer can be asked for again in time");
}

tl::expected<Profile, std::vector<Error>> read_document(TomlDocument document, std::string file) {
  const TomlTable& root = document.root();
  Profile profile;
  profile.file = std::move(file);
  profile.role = read_role(root);
  profile.name = root.need_string("name");
  const std::string dialect = root.need_string("dialect");
  if (dialect == "modbus") {
    profile.dialect = DialectKind::modbus;
  } else if (!dialect.empty() && dialect != "scpi") {
    // One clear error instead of one for every key of the other dialect.
    root.error("dialect", std::string("unknown dialect: ").append(dialect), "write \"scpi\" or \"modbus\"");
    return tl::unexpected(document.errors());
  }
  profile.link = read_link(root.need_table("link"), profile.dialect);
  read_dialect(root, profile.dialect == DialectKind::modbus ? modbus_tables : scpi_tables, profile);
  read_watchdog(root.need_table("watchdog"), profile);
  if (const auto reach = root.table("reach")) read_reach(*reach, profile);
  const bool is_thermometer = profile.role == Role::thermometer;
  const bool is_box = profile.role == Role::digital_io;
  const TomlTable accuracy = is_box ? root : root.need_table("accuracy");
  if (!is_box) {
    profile.volts_accuracy = read_accuracy<Volt>(accuracy, "read_volts", !is_thermometer);
    profile.amps_accuracy = read_accuracy<Ampere>(accuracy, "read_amps", !is_thermometer);
    profile.temperature_accuracy = read_accuracy<Kelvin>(accuracy, "read_temperature", is_thermometer);
  }
  take_reach(profile);
  document.finish();
  if (document.errors().empty()) {
    check_role(root, profile);
    check_times(root, profile);
  }
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return profile;
}

}  // namespace

tl::expected<Profile, std::vector<Error>> load_profile(const std::string& path) {
  return read_document(TomlDocument::load(path), path);
}

tl::expected<Profile, std::vector<Error>> parse_profile(std::string_view text, std::string file_name) {
  TomlDocument document = TomlDocument::parse(text, file_name);
  return read_document(std::move(document), std::move(file_name));
}

}  // namespace leadwright
