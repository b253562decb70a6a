// SPDX-License-Identifier: Apache-2.0
#include "tools/client/grade_commands.h"

#include <iostream>
#include <vector>

#include "daemon/grading/explain.h"
#include "daemon/grading/grade.h"
#include "daemon/queue/regrade.h"
#include "daemon/store/json.h"
#include "tools/client/call.h"
#include "tools/client/checked_file.h"
#include "tools/client/grade_examples.h"
#include "tools/client/stored_history.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

std::string regraded_json(const std::vector<Regraded>& all) {
  const auto one = [](const Regraded& each) {
    std::string text = "{\"was\":";
    return text.append(to_json(*each.file->grade)).append(",\"now\":").append(to_json(each.now)).append("}");
  };
  return json_array(all, one) + "\n";
}

std::string regraded_table(const std::vector<Regraded>& all, const std::string& policy) {
  std::vector<std::vector<std::string>> rows{{"TICKET", "WAS", "BY", "NOW", "WHY", "WHAT TO DO"}};
  for (const Regraded& each : all) {
    if (!each.changes()) continue;
    rows.push_back({shown(each.file->ticket.id), std::string(1, each.file->grade->letter),
                    each.file->grade->policy, std::string(1, each.now.letter), each.now.reason,
                    each.now.disposition});
  }
  const std::string changed = std::to_string(rows.size() - 1) + " of " + std::to_string(all.size()) +
                              " graded tickets change under " + policy + ".\n";
  return rows.size() == 1 ? changed : table(rows).append("\n").append(changed);
}

}  // namespace

ExitCode grade_recompute(const ClientOptions& client, const GradeOptions& options) {
  const auto policy = load_policy(options.policy);
  if (!policy) return report_mistakes(policy.error());
  const auto ledger = read_ledger(client);
  if (!ledger) return report(client, ledger.error());
  const std::vector<Regraded> all = regraded(**ledger, *policy);
  std::cout << (client.json ? regraded_json(all)
                            : regraded_table(all, policy->name + " " + std::to_string(policy->version)));
  return ExitCode::ok;
}

ExitCode grade_explain(const ClientOptions& client, const GradeOptions& options) {
  const auto ledger = read_ledger(client);
  if (!ledger) return report(client, ledger.error());
  const auto id = parse_ticket_id(options.ticket);
  if (!id) return report(client, id.error());
  const TicketFile* file = (*ledger)->find(*id);
  if (file == nullptr || (!file->grade && options.policy.empty())) {
    const Error none{Errc::not_found, "there is no grade of " + options.ticket, "ticket",
                     "see: leadwright ticket list; or name a --policy to see what it would say now"};
    return report(client, none);
  }
  const Utc at = file->grade ? file->grade->at : file->ticket.state_since;
  const Evidence evidence = evidence_of(*file, **ledger, at);
  Grade given = file->grade.value_or(Grade{});
  if (!options.policy.empty()) {
    const auto policy = load_policy(options.policy);
    if (!policy) return report_mistakes(policy.error());
    given = grade(evidence, *policy);
  }
  std::cout << (client.json ? to_json(given) + "\n"
                            : "# " + options.ticket + "\n" + explained(evidence, given));
  return ExitCode::ok;
}

ExitCode grade_examples_page(const ClientOptions& client, const GradeOptions& options) {
  const auto page = gradings_page(options.policies);
  if (!page) return report(client, page.error());
  std::cout << *page;
  return ExitCode::ok;
}

}  // namespace leadwright
