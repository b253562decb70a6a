// SPDX-License-Identifier: Apache-2.0
// leadwright ticket batch.
#include <fmt/format.h>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <iostream>

#include "daemon/battery/content_hash.h"
#include "tools/client/amount.h"
#include "tools/client/batch_rules.h"
#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/label_json.h"
#include "tools/client/table.h"
#include "tools/client/ticket_commands.h"

namespace leadwright {
namespace {

namespace json = boost::json;

struct Taken {
  std::string outcome;  ///< of batch_rules.h, "opened" or "refused"
  std::string ticket;
  std::string why;
};

/// The same file read again, after a lost connection, opens no second ticket: the key follows from it.
Taken open_ticket(const ClientOptions& client, const json::object& label, const Core& core,
                  const std::string& file_hash) {
  json::object battery{{"serial", core.serial}};
  for (const auto& [key, value] : label) battery[key] = value;
  json::object inspection{{"remarks", fmt::format("batch intake: {:.2f} V by a meter", core.volts_v)}};
  if (core.seen == "terminals_damaged") inspection["terminals_damaged"] = true;
  const json::object body{{"battery", battery}, {"inspection", inspection}};
  const std::string text = json::serialize(body);
  const std::string key = "batch-" + content_hash(file_hash + text);
  const auto answer = ask(client, {"POST", "/api/v1/tickets", text, key});
  if (!answer) return {"refused", "", answer.error().line()};
  const auto added = parse_json(*answer);
  return {"opened", added ? words(member(*added, "ticket")) : "", ""};
}

void print(const ClientOptions& client, const std::vector<Core>& cores, const std::vector<Taken>& all) {
  json::array list;
  std::vector<std::vector<std::string>> rows{{"SERIAL", "VOLTS", "SEEN", "WHAT BECOMES", "TICKET", "WHY"}};
  for (std::size_t i = 0; i < cores.size(); ++i) {
    const Core& core = cores[i];
    const Taken& taken = all[i];
    rows.push_back(
        {core.serial, decimal(core.volts_v, 2), core.seen, taken.outcome, taken.ticket, taken.why});
    list.push_back(json::object{{"serial", core.serial},
                                {"volts_v", core.volts_v},
                                {"seen", core.seen},
                                {"outcome", taken.outcome},
                                {"ticket", taken.ticket},
                                {"why", taken.why}});
  }
  std::cout << (client.json ? json::serialize(list) + "\n" : table(rows));
}

Result<BatchRules> rules_of(const TicketBatchOptions& options, const json::object& label) {
  BatchRules rules;
  if (const auto cells = number(member(label, "cells"))) rules.cells = static_cast<int>(*cells);
  rules.least_v = flat_cell_v * rules.cells;
  if (options.least.empty()) return rules;
  const auto least = amount_of(options.least, {"--least", "V"});
  if (!least) return tl::unexpected<Error>(least.error());
  rules.least_v = *least;
  return rules;
}

struct CoreBatch {
  std::vector<Core> cores;
  json::object label;
  BatchRules rules;
  std::string file_hash;
};

Result<CoreBatch> batch_of(const ClientOptions& client, const TicketBatchOptions& options) {
  const auto text = read_input(options.file, "give a CSV file, or - for standard input");
  if (!text) return tl::unexpected<Error>(text.error());
  auto cores = cores_of(*text);
  if (!cores) return pass(cores);
  auto part = part_label(client, options.part);
  if (!part) return pass(part);
  auto label = label_json(options, std::move(*part));
  if (!label) return pass(label);
  const auto rules = rules_of(options, *label);
  if (!rules) return tl::unexpected<Error>(rules.error());
  return CoreBatch{std::move(*cores), std::move(*label), *rules, content_hash(*text)};
}

}  // namespace

ExitCode ticket_batch(const ClientOptions& client, const TicketBatchOptions& options) {
  const auto batch = batch_of(client, options);
  if (!batch) return report(client, batch.error());
  std::vector<Taken> all;
  bool is_refused = false;
  for (std::size_t i = 0; i < batch->cores.size(); ++i) {
    Taken taken{outcome_of(batch->cores, i, batch->rules), "", ""};
    if (taken.outcome == "ticket" && !options.only_look)
      taken = open_ticket(client, batch->label, batch->cores[i], batch->file_hash);
    is_refused |= taken.outcome == "refused";
    all.push_back(std::move(taken));
  }
  print(client, batch->cores, all);
  if (!std::cout.flush()) return ExitCode::io;
  return is_refused ? ExitCode::negative : ExitCode::ok;
}

}  // namespace leadwright
