// SPDX-License-Identifier: Apache-2.0
// The bench as its snapshot (GET /api/v1/bench) tells it, as far as the simulated hand needs it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

struct PlaceView {
  std::string name;
  std::string kind;    ///< bay, charging or shelf
  std::string ticket;  ///< empty if none
  std::string activity;
  std::string doing;
  std::string procedure;  ///< empty if none runs
  std::string step;
  std::string needs;
  std::string ask;  ///< cautions, same_battery, cells, trip, or empty
};

struct QueueView {
  std::string ticket;
  std::string label;
  std::string state;
  std::string place;  ///< empty if none
  std::string grade;  ///< empty if none
  std::string reason;
  std::string next;       ///< procedure, or empty
  std::string next_kind;  ///< kind of place for it
  std::string needs;
};

struct BenchView {
  std::string at;
  std::vector<PlaceView> places;
  std::vector<QueueView> queue;

  const PlaceView* place(std::string_view name) const;
  const QueueView* ticket(std::string_view shown) const;
};

/// Fails with garbled if it is no such snapshot. Absent and null texts are empty.
Result<BenchView> read_bench_view(std::string_view json);
/// The text of one member of a JSON object, or empty.
std::string json_member(std::string_view json, std::string_view key);
/// `text` as a JSON string, quotes included.
std::string json_quoted(std::string_view text);
/// The queue as a JSON array of objects, as --json prints it.
std::string queue_json(const BenchView& bench);

}  // namespace leadwright
