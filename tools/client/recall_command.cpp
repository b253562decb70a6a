// SPDX-License-Identifier: Apache-2.0
#include "tools/client/recall_command.h"

#include <iostream>
#include <vector>

#include "daemon/queue/recall.h"
#include "daemon/store/json.h"
#include "tools/client/call.h"
#include "tools/client/checked_file.h"
#include "tools/client/stored_history.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

/// A day counts from its first moment, or to its last one.
Result<std::optional<Utc>> moment_of(const std::string& text, const char* option, bool to_the_end) {
  if (text.empty()) return std::optional<Utc>();
  const auto at = Utc::parse(text);
  if (!at) {
    return fail(Errc::bad_input, "\"" + text + "\" is not a date", option,
                "write 2026-03-01 or 2026-03-01T12:00:00Z");
  }
  const bool is_day = text.size() == 10;
  return std::optional<Utc>(is_day && to_the_end ? *at + hours(24.0) : *at);
}

std::string runs_text(const std::vector<RunId>& runs) {
  std::string text;
  for (const RunId run : runs) text.append(text.empty() ? "" : ", ").append(shown(run));
  return text;
}

std::string recalled_table(const std::vector<Recalled>& all, const std::string& instrument) {
  if (all.empty()) return "No grade rests on " + instrument + " in that time.\n";
  std::vector<std::vector<std::string>> rows{{"TICKET", "RUNS", "GIVEN", "WITHOUT", "NEXT", "WHY"}};
  for (const Recalled& each : all) {
    rows.push_back({shown(each.file->ticket.id), runs_text(each.runs),
                    std::string(1, each.file->grade->letter), std::string(1, each.without.letter),
                    each.without.next_procedure.empty() ? "-" : each.without.next_procedure,
                    each.without.reason});
  }
  const std::string count = std::to_string(all.size());
  return table(rows) + "\n" + count + (all.size() == 1 ? " grade rests" : " grades rest") + " on " +
         instrument + ".\n";
}

std::string recalled_json(const std::vector<Recalled>& all) {
  const auto one = [](const Recalled& each) {
    const auto run_json = [](RunId run) { return json_string(shown(run)); };
    std::string text = "{\"runs\":";
    text.append(json_array(each.runs, run_json)).append(",\"given\":").append(to_json(*each.file->grade));
    return text.append(",\"without\":").append(to_json(each.without)).append("}");
  };
  return json_array(all, one) + "\n";
}

}  // namespace

ExitCode instrument_recall(const ClientOptions& client, const RecallOptions& options) {
  const auto policy = load_policy(options.policy);
  if (!policy) return report_mistakes(policy.error());
  const auto from = moment_of(options.from, "--from", false);
  if (!from) return report(client, from.error());
  const auto until = moment_of(options.until, "--until", true);
  if (!until) return report(client, until.error());
  const auto ledger = read_ledger(client);
  if (!ledger) return report(client, ledger.error());
  const std::vector<Recalled> all = recalled(**ledger, *policy, {options.instrument, *from, *until});
  std::cout << (client.json ? recalled_json(all) : recalled_table(all, options.instrument));
  return all.empty() ? ExitCode::ok : ExitCode::negative;
}

}  // namespace leadwright
