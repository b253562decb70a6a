// SPDX-License-Identifier: Apache-2.0
// A USBTMC device through the kernel's driver: whole messages each way. Owned by a Line. Thread: control,
// which never makes a system call here: those block, and a helper thread makes them. Every call ends at its
// deadline even so; what the helper brings later is dropped. Never: used on a virtual clock. Read next:
// usbtmc_helper.h (the thread), usbtmc_file.h (the calls).
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "drivers/link.h"
#include "drivers/usbtmc_helper.h"

namespace leadwright {

class UsbtmcLink final : public Link {
 public:
  /// `timeout`: the least time-out of a transfer; a call with a later deadline gets until then, so that a
  /// slow answer is possible. The driver refuses less than 100 ms.
  UsbtmcLink(Clock& machine, const LinkAddress& address, std::shared_ptr<HelperThreads> threads,
             Second timeout = timeout_usual);
  ~UsbtmcLink() override;

  const std::string& name() const override { return name_; }
  Task<Result<void>> open(Instant deadline) override;
  bool is_open() const override { return is_open_; }
  /// `bytes` is exactly one complete program message. A message that was overtaken by an urgent one is not
  /// sent: stopped.
  Task<Result<void>> write(std::string_view bytes, Instant deadline) override;
  /// Asks the device only if something was written since the last answer ended: a device that is read without
  /// a question may hang. Fails also with garbled (a malformed transfer) or io.
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline) override;
  bool message_ended() const override { return message_ended_; }
  Task<Result<void>> clear(Instant deadline) override;
  /// The IEEE 488.2 status byte, out of band; fails where the device is no USB488 device.
  Task<Result<std::uint8_t>> status_byte(Instant deadline);
  void discard_input() override;
  /// See UsbtmcHelper::urgent. False too while the device is being cleared: the bytes go out after that, and
  /// nobody can say when.
  bool urgent(std::string_view bytes) noexcept override;
  /// Twice the time-out in force: a read makes two transfers.
  Second urgent_within() const override { return 2.0 * timeout_longest_; }
  void close() noexcept override;

  static constexpr Second timeout_usual{0.3};
  static constexpr Second timeout_max{5.0};

 private:
  class Call;
  Task<Result<UsbtmcReply>> call(UsbtmcRequest request, Instant deadline);
  UsbtmcRequest request(UsbtmcRequest::Kind kind, Instant deadline);
  void hear(UsbtmcReply& reply);
  void forget_input();

  std::string name_;
  Clock& machine_;
  Second timeout_;
  Second timeout_longest_;
  Signal changed_;
  std::vector<Call*> calls_;
  std::uint64_t number_ = 0;
  std::uint64_t opening_ = 0;
  unsigned closings_ = 0;
  bool is_open_ = false;
  bool is_asked_ = false;  ///< a message was written, and no answer has ended since
  std::string piece_;
  std::size_t taken_ = 0;
  bool piece_ends_message_ = false;
  bool message_ended_ = false;
  UsbtmcHelper helper_;  // last: its destruction ends all calls of hear()
};

}  // namespace leadwright
