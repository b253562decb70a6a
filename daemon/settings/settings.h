// SPDX-License-Identifier: Apache-2.0
// The daemon's configuration as values. For: main, which reads it once at start. Owned by main. Thread: any,
// before the others start. Never: touches a device or changes a file. Read next: config/leadwright.toml
// (every key with its meaning), state_directory.h, exit_codes.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/settings/precautions.h"
#include "protocol/result.h"

namespace leadwright {

enum class PlaceKind { shelf, charging, bay };
const char* word(PlaceKind kind);
std::optional<PlaceKind> place_kind_of(std::string_view word);

struct InstrumentSettings {
  std::string profile;  ///< path of the profile's file
  std::string link;     ///< "serial:/dev/serial/by-id/...", as LinkAddress::text gives it
  std::string where;    ///< file:line:column, for messages
  /// Modbus address; absent: the profile's. Instruments with units of their own may share one link.
  std::optional<int> unit;
  std::string calibration_due = {};  ///< last day of its calibration, "2027-03-01"; empty if nobody said
};

/// One output of a box, by the box's name, and the input that mirrors its contact.
struct ContactSettings {
  std::string box;
  int output = 0;
  std::optional<int> mirror;
  std::string where;
};

/// A load or charger of several places, which each reach it through a contact.
struct SharedSettings {
  std::string name;
  InstrumentSettings instrument;
};

/// The way of one place to a shared instrument.
struct WaySettings {
  std::string shared;
  ContactSettings contact;
};

/// What an input of the bench says when it is not well.
enum class InputMeans { stop, smoke, gas, airflow };
const char* word(InputMeans means);
std::optional<InputMeans> input_means_of(std::string_view word);

struct BoxInputSettings {
  int number = 0;
  InputMeans means = InputMeans::stop;
  bool closed_is_well = true;  ///< a broken wire is then an alarm as well
};

struct BoxSettings {
  std::string name;
  InstrumentSettings instrument;
  std::vector<BoxInputSettings> inputs;
  std::optional<int> siren;  ///< output that is on while a trip waits for a person
};

struct PlaceSettings {
  std::string name;
  PlaceKind kind = PlaceKind::shelf;
  std::optional<InstrumentSettings> load;
  std::optional<InstrumentSettings> charger;
  std::optional<InstrumentSettings> thermometer;
  std::optional<InstrumentSettings> two_quadrant;  ///< load and charger in one, instead of the two
  std::optional<WaySettings> shared_load;
  std::optional<WaySettings> shared_charger;
  std::optional<ContactSettings> isolator;
  bool attended_only = true;  ///< true unless the file says that the place has protection of its own
  std::string where;
};

/// What a simulated bench says about its time (bench_time.toml).
struct BenchTimeFile {
  double scale = 1.0;                ///< bench seconds per machine second
  std::int64_t machine_zero_ns = 0;  ///< since_boot_ns() at the zero of bench time
  Utc utc_zero;                      ///< what bench UTC says at that moment
};

struct Settings {
  std::vector<std::string> files;  ///< in the order read
  std::string bench_name = "bench";
  std::string bench_prefix;
  std::optional<std::string> bench_time;  ///< path of a bench_time.toml; absent for real time
  std::string web_address = "127.0.0.1";
  std::uint16_t web_port = 8417;       ///< 0: the kernel chooses
  bool web_asks_for_tokens = false;    ///< else whoever reaches the port may do everything
  bool web_behind_proxy = false;       ///< which does TLS
  std::vector<std::string> web_names;  ///< under which the bench is reached, besides this machine's own
  std::size_t queue_batches_max = 1024;
  std::string policy_file;
  std::string parts_file;  ///< empty: no list of parts
  std::string estimator_file;
  std::string procedures_folder;
  std::string profiles_folder;
  Precautions precautions;
  AlarmSettings alarm;
  std::string paper = "a4";  ///< of certificates: "a4" or "letter"
  std::vector<PlaceSettings> places;
  std::vector<BoxSettings> boxes;
  std::vector<SharedSettings> shared;
};

/// Reads one file in place of the installed ones. All paths in the result are usable from the working folder.
/// Every mistake is reported, each with file:line:column: unknown keys with a near match, duplicate places, a
/// bay without load, one link for two instruments, an address other than loopback, files that don't exist.
tl::expected<Settings, std::vector<Error>> read_settings(const std::string& path);

/// Reads `folder`/leadwright.toml and then `folder`/conf.d/*.toml by name; the last one wins.
tl::expected<Settings, std::vector<Error>> read_installed_settings(
    const std::string& folder = "/etc/leadwright");

tl::expected<BenchTimeFile, std::vector<Error>> read_bench_time(const std::string& path);

}  // namespace leadwright
