// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/wiring_reader.h"

#include <algorithm>
#include <array>
#include <filesystem>

#include "drivers/link.h"

namespace leadwright {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t name_bytes_max = 32;
constexpr int contacts_max = 32;  // of one box, as many as a word of inputs has bits
constexpr std::array means_words{"stop", "smoke", "gas", "airflow"};

bool is_name(const std::string& name) {
  const auto is_allowed = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
  return !name.empty() && name.size() <= name_bytes_max && name.front() != '-' &&
         std::ranges::all_of(name, is_allowed);
}

int checked_number(const TomlTable& table, const char* key, std::int64_t number) {
  if (number < 0 || number >= contacts_max) {
    table.error(key, "no such number", "outputs and inputs of a box count from 0");
    return 0;
  }
  return static_cast<int>(number);
}

std::optional<int> optional_number(const TomlTable& table, const char* key) {
  const auto number = table.integer(key);
  return number ? std::optional(checked_number(table, key, *number)) : std::nullopt;
}

BoxInputSettings read_input(const TomlTable& table) {
  BoxInputSettings input;
  input.number = checked_number(table, "number", table.need_integer("number"));
  const std::string means = table.need_string("means");
  const auto known = input_means_of(means);
  input.means = known.value_or(InputMeans::stop);
  if (table.has("means") && !known) {
    table.error("means", "unknown meaning \"" + means + "\"", "\"stop\", \"smoke\", \"gas\" or \"airflow\"");
  }
  const std::string well = table.string("well").value_or("closed");
  if (well != "closed" && well != "open") {
    table.error("well", "unknown state of a contact \"" + well + "\"", "\"closed\" or \"open\"");
  }
  input.closed_is_well = well != "open";
  return input;
}

}  // namespace

const char* word(InputMeans means) {
  return means_words[static_cast<std::size_t>(means)];
}

std::optional<InputMeans> input_means_of(std::string_view text) {
  const auto found = std::ranges::find(means_words, text);
  if (found == means_words.end()) return std::nullopt;
  return static_cast<InputMeans>(found - means_words.begin());
}

std::string read_name(const TomlTable& table, const char* of) {
  std::string name = table.need_string("name");
  if (table.has("name") && !is_name(name)) {
    table.error("name", "\"" + name + "\" is not a name for " + of, "lower-case letters, digits and -");
  }
  return name;
}

InstrumentSettings read_instrument(const TomlTable& table, const std::string& folder) {
  InstrumentSettings instrument{table.need_string("profile"), table.need_string("link"), table.where(),
                                std::nullopt};
  if (table.has("unit")) {
    instrument.unit = static_cast<int>(table.need_integer("unit"));
    if (*instrument.unit < 1 || *instrument.unit > 247) {
      table.error("unit", "out of range", "write 1 to 247: 0 is everybody, and nobody answers");
    }
  }
  if (const auto due = table.string("calibration_due")) {
    instrument.calibration_due = *due;
    if (due->size() != 10 || !Utc::parse(*due)) {
      table.error("calibration_due", "\"" + *due + "\" is not a day",
                  "write the last day of its calibration, for example \"2027-03-01\", or leave it out");
    }
  }
  const bool is_path = instrument.profile.find('/') != std::string::npos;
  if (is_path && !folder.empty()) {
    instrument.profile = (fs::path(folder) / instrument.profile).lexically_normal().string();
  }
  if (table.has("profile") && instrument.profile.empty()) table.error("profile", "empty", "name a profile");
  if (!table.has("link")) return instrument;
  const auto address = LinkAddress::parse(instrument.link);
  if (!address) {
    table.error("link", "\"" + instrument.link + "\": " + address.error().what, address.error().mend);
  } else if (address->kind == LinkAddress::Kind::memory) {
    table.error("link", "links in memory exist in tests and rehearsals only", "use serial: or tcp:");
  } else {
    instrument.link = address->text();
  }
  return instrument;
}

void read_load_or_charger(const TomlTable& place, const char* role, const std::string& folder,
                          std::optional<InstrumentSettings>& own, std::optional<WaySettings>& shared) {
  const auto table = place.table(role);
  if (!table) return;
  if (table->has("shared")) {
    shared = WaySettings{table->need_string("shared"), read_contact(*table)};
  } else {
    own = read_instrument(*table, folder);
  }
}

ContactSettings read_contact(const TomlTable& table) {
  ContactSettings contact;
  contact.where = table.where();
  contact.box = table.need_string("box");
  contact.output = checked_number(table, "output", table.need_integer("output"));
  contact.mirror = optional_number(table, "mirror");
  return contact;
}

BoxSettings read_box(const TomlTable& table, const std::string& folder) {
  BoxSettings box;
  box.name = read_name(table, "a box");
  box.instrument = read_instrument(table, folder);
  box.siren = optional_number(table, "siren");
  for (const TomlTable& input : table.tables("input")) box.inputs.push_back(read_input(input));
  return box;
}

SharedSettings read_shared(const TomlTable& table, const std::string& folder) {
  return {read_name(table, "a shared instrument"), read_instrument(table, folder)};
}

}  // namespace leadwright
