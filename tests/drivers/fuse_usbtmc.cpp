// SPDX-License-Identifier: Apache-2.0
#define FUSE_USE_VERSION 35
#include "fuse_usbtmc.h"

#include <fuse_lowlevel.h>
#include <linux/usb/tmc.h>
#include <poll.h>
#include <sys/eventfd.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <string_view>

namespace leadwright {

namespace {

constexpr fuse_ino_t root = FUSE_ROOT_ID;
constexpr fuse_ino_t first_file = 2;
constexpr unsigned timeout_min_ms = 100;
constexpr unsigned char status_byte = 0x10;  // MAV
constexpr std::chrono::seconds log_patience{5};

struct stat attributes_of(fuse_ino_t inode) {
  struct stat result {};
  result.st_ino = inode;
  result.st_mode = inode == root ? S_IFDIR | 0755 : S_IFREG | 0600;
  result.st_nlink = 1;
  result.st_uid = ::getuid();
  result.st_gid = ::getgid();
  return result;
}

std::string file_name(unsigned number) {
  return "usbtmc" + std::to_string(number);
}

}  // namespace

/// What libfuse calls, on the thread that serves.
struct FuseUsbtmc::Handlers {
  using Lock = std::lock_guard<std::mutex>;
  static FuseUsbtmc& device(fuse_req_t request) {
    return *static_cast<FuseUsbtmc*>(fuse_req_userdata(request));
  }
  static bool is_gone(const FuseUsbtmc& self, const fuse_file_info* file) {
    return !self.is_plugged_in_ || file->fh != self.number_;
  }

  static void lookup(fuse_req_t request, fuse_ino_t, const char* name) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    if (!self.is_plugged_in_ || name != file_name(self.number_)) {
      fuse_reply_err(request, ENOENT);
      return;
    }
    fuse_entry_param entry{};
    entry.ino = first_file + self.number_;
    entry.attr = attributes_of(entry.ino);
    fuse_reply_entry(request, &entry);
  }

  static void getattr(fuse_req_t request, fuse_ino_t inode, fuse_file_info*) {
    const struct stat attributes = attributes_of(inode);
    fuse_reply_attr(request, &attributes, 0.0);
  }

  static void open(fuse_req_t request, fuse_ino_t, fuse_file_info* file) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    self.say("open");
    file->direct_io = 1;
    file->fh = self.number_;
    fuse_reply_open(request, file);
  }

  static void release(fuse_req_t request, fuse_ino_t, fuse_file_info*) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    self.say("close");
    fuse_reply_err(request, 0);
  }

  static void read(fuse_req_t request, fuse_ino_t, std::size_t size, off_t, fuse_file_info* file) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    self.say("read");
    if (is_gone(self, file)) {
      fuse_reply_err(request, ENODEV);
      return;
    }
    self.waiting_.push_back({request, {}, size});
    self.feed_reads();
  }

  static void write(fuse_req_t request, fuse_ino_t, const char* bytes, std::size_t size, off_t,
                    fuse_file_info* file) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    if (is_gone(self, file)) {
      fuse_reply_err(request, ENODEV);
      return;
    }
    const std::string message(bytes, size);
    const auto accept = [&self, request, message] {
      fuse_reply_write(request, message.size());
      const auto known = self.answers_.find(message);
      if (known == self.answers_.end()) return;
      self.ready_.insert(self.ready_.end(), known->second.begin(), known->second.end());
      self.feed_reads();
    };
    self.wait_or_go_on(Call::write, "write " + message, request, accept);
  }

  static void ioctl(fuse_req_t request, fuse_ino_t, unsigned command, void*, fuse_file_info* file, unsigned,
                    const void* in, std::size_t, std::size_t) {
    FuseUsbtmc& self = device(request);
    const Lock lock(self.mutex_);
    if (is_gone(self, file)) {
      fuse_reply_err(request, ENODEV);
      return;
    }
    self.control(request, command, in);
  }

  static fuse_lowlevel_ops table() {
    fuse_lowlevel_ops operations{};
    operations.lookup = lookup;
    operations.getattr = getattr;
    operations.open = open;
    operations.release = release;
    operations.read = read;
    operations.write = write;
    operations.ioctl = ioctl;
    return operations;
  }
};

FuseUsbtmc::FuseUsbtmc() {
  std::string name = std::filesystem::temp_directory_path() / "leadwright-usbtmc-XXXXXX";
  if (::mkdtemp(name.data()) == nullptr) {
    obstacle_ = std::string("no temporary folder: ").append(std::strerror(errno));
    return;
  }
  folder_ = name;
  std::filesystem::create_directory(folder_ + "/bus");
  if (::access("/dev/fuse", R_OK | W_OK) != 0) {
    obstacle_ = std::string("/dev/fuse: ").append(std::strerror(errno));
    return;
  }
  std::string program = "fuse_usbtmc";
  std::array<char*, 1> words{program.data()};
  fuse_args arguments{static_cast<int>(words.size()), words.data(), 0};
  const fuse_lowlevel_ops operations = Handlers::table();
  session_ = fuse_session_new(&arguments, &operations, sizeof operations, this);
  fuse_opt_free_args(&arguments);
  if (session_ == nullptr || fuse_session_mount(session_, (folder_ + "/bus").c_str()) != 0) {
    obstacle_ = "FUSE can't be mounted here";
    if (session_ != nullptr) fuse_session_destroy(session_);
    session_ = nullptr;
    return;
  }
  link_name();
  stop_ = ::eventfd(0, EFD_CLOEXEC);
  thread_ = std::thread([this] { serve(); });
}

FuseUsbtmc::~FuseUsbtmc() {
  if (session_ != nullptr) {
    unplug(ENODEV);
    const std::uint64_t one = 1;
    if (::write(stop_, &one, sizeof one) != sizeof one) std::abort();
    thread_.join();
    ::close(stop_);
    fuse_session_unmount(session_);
    fuse_session_destroy(session_);
  }
  std::error_code ignored;
  std::filesystem::remove(path(), ignored);
  std::filesystem::remove(folder_ + "/bus", ignored);
  std::filesystem::remove(folder_, ignored);
}

void FuseUsbtmc::serve() {
  fuse_buf buffer{};
  while (true) {
    std::array<pollfd, 2> events{{{fuse_session_fd(session_), POLLIN, 0}, {stop_, POLLIN, 0}}};
    if (::poll(events.data(), events.size(), -1) < 0 && errno != EINTR) break;
    if (events[1].revents != 0) break;
    if (events[0].revents == 0) continue;
    const int count = fuse_session_receive_buf(session_, &buffer);
    if (count == -EINTR) continue;
    if (count <= 0) break;
    fuse_session_process_buf(session_, &buffer);
  }
  std::free(buffer.mem);
}

void FuseUsbtmc::say(const std::string& entry) {
  log_.push_back(entry);
  logged_.notify_all();
}

void FuseUsbtmc::wait_or_go_on(Call call, const std::string& entry, fuse_req* request,
                               std::function<void()> go_on) {
  const bool is_held = call == Call::write ? holds_writes_ : holds_clears_;
  if (!is_held) {
    say(entry);
    go_on();
    return;
  }
  say("held " + entry);
  const auto say_and_go_on = [this, entry, go_on = std::move(go_on)] {
    say(entry);
    go_on();
  };
  waiting_.push_back({request, say_and_go_on});
}

void FuseUsbtmc::feed_reads() {
  while (!ready_.empty()) {
    const auto reader = std::ranges::find_if(waiting_, [](const Waiting& each) { return !each.go_on; });
    if (reader == waiting_.end()) return;
    Transfer& next = ready_.front();
    const std::size_t size = next.is_malformed ? 0 : std::min(reader->size, next.bytes.size());
    const bool is_all = next.is_malformed || size == next.bytes.size();
    if (!next.is_malformed) attributes_ = is_all && next.ends_message ? 1 : 0;
    fuse_reply_buf(reader->request, next.bytes.data(), size);
    waiting_.erase(reader);
    next.bytes.erase(0, size);
    if (is_all) ready_.erase(ready_.begin());
  }
}

void FuseUsbtmc::control(fuse_req* request, unsigned command, const void* in) {
  const auto failure = failures_.find(command);
  const int error = failure == failures_.end() ? 0 : failure->second;
  if (error != 0) failures_.erase(failure);
  const auto reply = [request, error] {
    if (error != 0) {
      fuse_reply_err(request, error);
    } else {
      fuse_reply_ioctl(request, 0, nullptr, 0);
    }
  };
  const auto reply_byte = [request, error](unsigned char byte) {
    if (error != 0) {
      fuse_reply_err(request, error);
    } else {
      fuse_reply_ioctl(request, 0, &byte, sizeof byte);
    }
  };
  switch (command) {
    case USBTMC_IOCTL_SET_TIMEOUT: {
      std::uint32_t ms = 0;
      std::memcpy(&ms, in, sizeof ms);
      timeouts_.push_back(ms);
      if (ms < timeout_min_ms) {
        fuse_reply_err(request, EINVAL);
      } else {
        reply();
      }
      return;
    }
    case USBTMC_IOCTL_CLEAR: {
      const auto clear = [this, reply] {
        ready_.clear();
        reply();
      };
      wait_or_go_on(Call::clear, "clear", request, clear);
      return;
    }
    case USBTMC_IOCTL_CLEAR_IN_HALT:
      say("clear in halt");
      return reply();
    case USBTMC_IOCTL_CLEAR_OUT_HALT:
      say("clear out halt");
      return reply();
    case USBTMC_IOCTL_ABORT_BULK_IN:
      say("abort in");
      fuse_reply_err(request, ENOMSG);  // what a strict device makes of the tag that the driver sends
      return;
    case USBTMC_IOCTL_ABORT_BULK_OUT:
      say("abort out");
      return reply();
    case USBTMC_IOCTL_MSG_IN_ATTR:
      return reply_byte(attributes_);
    case USBTMC488_IOCTL_READ_STB:
      say("status byte");
      return reply_byte(status_byte);
    default:
      fuse_reply_err(request, EBADRQC);
  }
}

void FuseUsbtmc::answer(const std::string& message, std::vector<Transfer> transfers) {
  const std::lock_guard lock(mutex_);
  answers_[message] = std::move(transfers);
}

void FuseUsbtmc::offer(Transfer transfer) {
  const std::lock_guard lock(mutex_);
  ready_.push_back(std::move(transfer));
  feed_reads();
}

void FuseUsbtmc::hold(Call call) {
  const std::lock_guard lock(mutex_);
  (call == Call::write ? holds_writes_ : holds_clears_) = true;
}

void FuseUsbtmc::release() {
  const std::lock_guard lock(mutex_);
  holds_writes_ = holds_clears_ = false;
  std::vector<Waiting> held;
  std::ranges::copy_if(waiting_, std::back_inserter(held),
                       [](const Waiting& each) { return bool(each.go_on); });
  std::erase_if(waiting_, [](const Waiting& each) { return bool(each.go_on); });
  for (const Waiting& each : held) each.go_on();
}

void FuseUsbtmc::fail_waiting(int error) {
  const std::lock_guard lock(mutex_);
  end_all(error);
}

void FuseUsbtmc::end_all(int error) {
  for (const Waiting& each : waiting_) fuse_reply_err(each.request, error);
  waiting_.clear();
}

void FuseUsbtmc::fail_next(unsigned request, int error) {
  const std::lock_guard lock(mutex_);
  failures_[request] = error;
}

void FuseUsbtmc::unplug(int error) {
  const std::lock_guard lock(mutex_);
  is_plugged_in_ = false;
  ready_.clear();
  end_all(error);
}

void FuseUsbtmc::plug_in() {
  {
    const std::lock_guard lock(mutex_);
    ++number_;
    is_plugged_in_ = true;
  }
  link_name();
}

void FuseUsbtmc::link_name() {
  std::filesystem::remove(path());
  std::filesystem::create_symlink("bus/" + file_name(number_), path());
}

std::vector<std::string> FuseUsbtmc::log() const {
  const std::lock_guard lock(mutex_);
  return log_;
}

bool FuseUsbtmc::await(const std::string& entry, std::ptrdiff_t times) const {
  std::unique_lock lock(mutex_);
  return logged_.wait_for(lock, log_patience, [&] { return std::ranges::count(log_, entry) >= times; });
}

void FuseUsbtmc::forget_log() {
  const std::lock_guard lock(mutex_);
  log_.clear();
}

std::vector<unsigned> FuseUsbtmc::timeouts() const {
  const std::lock_guard lock(mutex_);
  return timeouts_;
}

}  // namespace leadwright
