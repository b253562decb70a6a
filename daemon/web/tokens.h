// SPDX-License-Identifier: Apache-2.0
// Who a request comes from, where the bench asks for tokens. Owned by the web thread, which may read the
// disk: the file is looked at again at most once a second, so that a revoked token is soon useless. Never:
// fails open; a file that can't be read lets nobody in.
#pragma once

#include <sys/stat.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/web/token_file.h"

namespace leadwright {

class Tokens {
 public:
  explicit Tokens(std::string state_folder) : folder_(std::move(state_folder)) {}
  struct Holder {
    std::string name;
    Rank rank = Rank::anybody;
  };
  /// Whose token this is; nothing if it is nobody's.
  std::optional<Holder> holder(std::string_view token);

 private:
  void look();
  std::string folder_;
  std::vector<StoredToken> tokens_;
  struct stat read_ {};  ///< the file's, when it was read; zeros if it was not
};

}  // namespace leadwright
