// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/records.h"

namespace leadwright {

Result<std::vector<KeptAnswer>> load_answers(Database& database) {
  auto rows =
      Statement::prepare(database, "SELECT key, asked, status, body, at FROM kept_answer ORDER BY at, key");
  if (!rows) return pass(rows);
  rows->bind_all();
  std::vector<KeptAnswer> answers;
  for (;;) {
    const auto more = rows->next();
    if (!more) return tl::unexpected<Error>(more.error());
    if (!*more) return answers;
    answers.push_back({rows->text(0), rows->text(1), static_cast<int>(rows->integer(2)), rows->text(3),
                       Utc(rows->integer(4))});
  }
}

}  // namespace leadwright
