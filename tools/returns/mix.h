// SPDX-License-Identifier: Apache-2.0
// What comes in, and who works: the file config/returns.toml as values. For: `leadwright rehearse returns`.
// Any thread. Never: decides anything. Read next: return_case.h, which draws one battery of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "protocol/result.h"
#include "tools/benchsim/cell_battery.h"

namespace leadwright {

/// Both ends belong to it. In the unit of its key.
struct MixSpan {
  double least = 0.0;
  double most = 0.0;
};

struct BatteryKind {
  std::string name;
  double share = 0.0;  ///< its part of the sum of all shares
  MixSpan wear;        ///< active material left, 1 as new
  MixSpan charged;     ///< 0..1
  CellFault fault = CellFault::none;
  int faulty_cells = 0;
  std::optional<MixSpan> severity;    ///< of the fault; missing: 1
  std::optional<MixSpan> of_label;    ///< its true size over that of its label; missing: its label is true
  std::optional<MixSpan> clamp_mohm;  ///< each time it is clamped on, until that is reseated; missing: none
  bool cracked = false;               ///< the eye sees it
};

struct BatterySize {
  Coulomb c20;
  Ampere cca;
  double share = 0.0;
  Second as_new;  ///< minutes at 25 A of a new one, by the simulator: not in the file
};

struct LabelHabits {
  double states_reserve_capacity = 1.0;
  double states_cca = 1.0;
  MixSpan new_over_rated;
};

/// How long people need, and when they are there.
struct People {
  Second opens;  ///< since midnight, every day
  Second closes;
  Second ticket;
  Second carry;
  Second unclamp;
  Second start;
  Second answer;
  Second close;
  MixSpan notice_s;
  double owner_agrees = 1.0;
  int asks_again_max = 0;
  Second time_cap;
};

struct QueueShape {
  double arrivals_a_day = 0.0;
  std::vector<int> bays;
  std::vector<int> charging_places;
};

struct ReturnsMix {
  std::string name;
  int version = 1;
  std::vector<BatteryKind> kinds;
  std::vector<BatterySize> sizes;
  LabelHabits label;
  MixSpan temperature_degc;
  double repeatability = 0.0;  ///< standard deviation of what one battery gives, as a share of its mean
  People people;
  QueueShape queue;
};

/// Every mistake at once, each with its place in the file.
tl::expected<ReturnsMix, std::vector<Error>> read_returns_mix(std::string_view text, const std::string& file);
/// As above, from a file; one that can't be read is one error.
tl::expected<ReturnsMix, std::vector<Error>> load_returns_mix(const std::string& path);

}  // namespace leadwright
