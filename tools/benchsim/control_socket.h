// SPDX-License-Identifier: Apache-2.0
// The control line of benchsim: a Unix socket that takes one-line commands and gives one-line answers.
#pragma once

#include <boost/asio/io_context.hpp>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

class ControlSocket {
 public:
  using Answer = std::function<std::string(std::string_view)>;
  /// Fails with busy if somebody answers at `path` already; a dead socket there is replaced.
  static Result<std::unique_ptr<ControlSocket>> open(boost::asio::io_context& context,
                                                     const std::string& folder, Answer answer);
  virtual ~ControlSocket() = default;
};

}  // namespace leadwright
