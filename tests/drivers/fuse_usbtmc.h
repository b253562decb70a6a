// SPDX-License-Identifier: Apache-2.0
// A USBTMC device without USB: a file system in this process with one file, which answers read, write and the
// ioctls of the kernel's usbtmc driver as that does (linux/usb/tmc.h; drivers/usb/class/usbtmc.c). Nothing
// here takes time: a read without an answer waits until the test ends it, so that order shows without a
// clock. Thread: any, but for construction and destruction. Never: knows who opens it.
#pragma once

#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

struct fuse_req;
struct fuse_session;

namespace leadwright {

class FuseUsbtmc {
 public:
  /// Mounts below the temporary folder and plugs the device in.
  FuseUsbtmc();
  FuseUsbtmc(const FuseUsbtmc&) = delete;
  FuseUsbtmc& operator=(const FuseUsbtmc&) = delete;
  ~FuseUsbtmc();
  /// Why nothing could be mounted; empty if it was.
  const std::string& obstacle() const { return obstacle_; }
  /// The stable name: a symbolic link to the file, which has another name after each plug_in().
  std::string path() const { return folder_ + "/instrument"; }

  struct Transfer {
    std::string bytes;
    bool ends_message = true;
    bool is_malformed = false;
  };
  /// What the device answers to `message`, from now on.
  void answer(const std::string& message, std::vector<Transfer> transfers);
  /// A transfer that the device has ready, or with which a waiting read ends.
  void offer(Transfer transfer);

  enum class Call { write, clear };
  /// Calls of this kind wait until release() or fail_waiting().
  void hold(Call call);
  /// Lets what is held go on, and holds nothing more.
  void release();
  /// Everything that waits ends with `error`: ETIMEDOUT as after the driver's own time-out.
  void fail_waiting(int error);
  /// The next ioctl of this number fails.
  void fail_next(unsigned request, int error);
  /// What waits ends with `error`; everything after with ENODEV.
  void unplug(int error);
  void plug_in();

  /// "open", "write MESSAGE", "read", "clear", "abort in", ... in the order in which they came. A call that
  /// is held is "held ..." first.
  std::vector<std::string> log() const;
  /// Waits until `entry` was logged `times` times. False if it takes longer than anything here does.
  bool await(const std::string& entry, std::ptrdiff_t times = 1) const;
  void forget_log();
  /// What SET_TIMEOUT was told, in ms.
  std::vector<unsigned> timeouts() const;

 private:
  struct Handlers;
  struct Waiting {
    fuse_req* request;
    std::function<void()> go_on;  ///< empty: a read
    std::size_t size = 0;
  };
  void serve();
  void say(const std::string& entry);
  void wait_or_go_on(Call call, const std::string& entry, fuse_req* request, std::function<void()> go_on);
  void feed_reads();
  void control(fuse_req* request, unsigned command, const void* in);
  void end_all(int error);
  void link_name();

  std::string folder_;
  std::string obstacle_;
  fuse_session* session_ = nullptr;
  int stop_ = -1;
  mutable std::mutex mutex_;
  mutable std::condition_variable logged_;
  std::vector<std::string> log_;
  std::vector<unsigned> timeouts_;
  std::map<std::string, std::vector<Transfer>> answers_;
  std::map<unsigned, int> failures_;
  std::vector<Transfer> ready_;
  std::vector<Waiting> waiting_;
  bool holds_writes_ = false;
  bool holds_clears_ = false;
  bool is_plugged_in_ = true;
  unsigned number_ = 0;  ///< of the file's name; rises with each plug_in()
  unsigned char attributes_ = 0;
  std::thread thread_;
};

}  // namespace leadwright
