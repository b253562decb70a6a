// SPDX-License-Identifier: Apache-2.0
#include "tools/client/stored_history.h"

#include <utility>

#include "daemon/settings/state_directory.h"
#include "daemon/store/history.h"
#include "daemon/store/sqlite_store.h"

namespace leadwright {

Result<std::string> state_folder(const ClientOptions& client) {
  std::string folder = state_directory(client.state);
  if (!folder.empty()) return folder;
  return fail(Errc::not_found, "no state folder is known", "--state", "name the daemon's state folder");
}

Result<std::unique_ptr<Ledger>> read_ledger(const ClientOptions& client) {
  auto folder = state_folder(client);
  if (!folder) return pass(folder);
  auto history = open_history(database_path(*folder));
  if (!history) return pass(history);
  auto bench = (*history)->everything();
  if (!bench) return pass(bench);
  auto ledger = std::make_unique<Ledger>();
  ledger->load(std::move(*bench));
  return ledger;
}

}  // namespace leadwright
