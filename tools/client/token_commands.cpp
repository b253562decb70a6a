// SPDX-License-Identifier: Apache-2.0
#include "tools/client/token_commands.h"

#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <iostream>

#include "daemon/clock/real_clock.h"
#include "daemon/web/token_file.h"
#include "tools/client/call.h"
#include "tools/client/cli.h"
#include "tools/client/stored_history.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr const char* token_examples = R"(Examples:
  sudo leadwright token add counter --rank operator --state /var/lib/leadwright
  leadwright token list
  leadwright token revoke counter
The bench asks for tokens with access = "tokens" in its configuration. A viewer reads and may switch off, an
operator does the daily work, a supervisor all. A token is shown once, and only its hash is kept. The client
sends what LEADWRIGHT_TOKEN holds, or the file that LEADWRIGHT_TOKEN_FILE names.)";

Utc utc_now() {
  boost::asio::io_context context(1);
  AsioLoop loop(context);
  return RealClock(loop).utc();
}

json::array tokens_json(const std::vector<StoredToken>& tokens) {
  json::array list;
  for (const StoredToken& each : tokens) {
    list.push_back(json::object{
        {"name", each.name}, {"rank", std::string(word(each.rank))}, {"created_at", each.created_at}});
  }
  return list;
}

}  // namespace

ExitCode token_add(const ClientOptions& client, const TokenOptions& options) {
  const auto folder = state_folder(client);
  if (!folder) return report(client, folder.error());
  const auto rank = rank_of(options.rank);
  if (!rank) {
    return report(client, {Errc::bad_input, "\"" + options.rank + "\" is no rank", "--rank",
                           "viewer, operator or supervisor"});
  }
  const auto token = add_token(*folder, options.name, *rank, utc_now());
  if (!token) return report(client, token.error());
  if (client.json) {
    std::cout << json::serialize(
                     json::object{{"name", options.name}, {"rank", options.rank}, {"token", *token}})
              << "\n";
  } else {
    std::cout << *token << "\n";
    std::cerr << "Keep it now: it is not shown again.\n";
  }
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

ExitCode token_list(const ClientOptions& client, const TokenOptions& /*options*/) {
  const auto folder = state_folder(client);
  if (!folder) return report(client, folder.error());
  const auto tokens = read_tokens(*folder);
  if (!tokens) return report(client, tokens.error());
  const json::array list = tokens_json(*tokens);
  if (client.json) {
    std::cout << json::serialize(list) << "\n";
  } else if (list.empty()) {
    std::cout << "no token\n";
  } else {
    std::vector<std::vector<std::string>> rows{{"NAME", "RANK", "SINCE"}};
    for (const StoredToken& each : *tokens) {
      rows.push_back({each.name, std::string(word(each.rank)), each.created_at});
    }
    std::cout << table(rows);
  }
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

ExitCode token_revoke(const ClientOptions& client, const TokenOptions& options) {
  const auto folder = state_folder(client);
  if (!folder) return report(client, folder.error());
  const auto revoked = revoke_token(*folder, options.name);
  return revoked ? ExitCode::ok : report(client, revoked.error());
}

void add_token_commands(Cli& cli) {
  auto* const token = noun(cli, "token", "Who may ask a bench that asks for tokens");
  token->footer(token_examples);
  auto* const add = token->add_subcommand("add", "A new token, shown once");
  const auto added = cli.add<TokenOptions>(add, token_add);
  add->add_option("name", added->name, "whose, or which place it is for: counter")->required();
  add->add_option("--rank", added->rank, "viewer, operator or supervisor")->required();
  cli.add<TokenOptions>(token->add_subcommand("list", "Names and ranks"), token_list);
  auto* const revoke = token->add_subcommand("revoke", "Makes one useless");
  const auto revoked = cli.add<TokenOptions>(revoke, token_revoke);
  revoke->add_option("name", revoked->name, "as listed")->required();
}

}  // namespace leadwright
