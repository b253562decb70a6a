// SPDX-License-Identifier: Apache-2.0
// Control's half of a USBTMC link.
#include "drivers/usbtmc_helper.h"

#include <algorithm>
#include <utility>

#include "drivers/usbtmc_worker.h"

namespace leadwright {

UsbtmcHelper::UsbtmcHelper(Loop& loop, std::shared_ptr<HelperThreads> threads, std::string path,
                           std::string name, Hear hear)
    : threads_(std::move(threads)),
      hear_(std::make_shared<Hear>(std::move(hear))),
      worker_(std::make_shared<Worker>(loop, *threads_, std::move(path), std::move(name), hear_)) {}

UsbtmcHelper::~UsbtmcHelper() {
  worker_->end();
}

Result<void> UsbtmcHelper::start() {
  if (is_started_) return {};
  Result<void> started = threads_->run("usbtmc", [worker = worker_] { worker->run(); });
  is_started_ = started.has_value();
  return started;
}

Result<void> UsbtmcHelper::ask(UsbtmcRequest request) {
  return worker_->ask(std::move(request));
}

void UsbtmcHelper::withdraw(std::uint64_t number) noexcept {
  worker_->withdraw(number);
}

void UsbtmcHelper::close() noexcept {
  worker_->close();
}

UsbtmcHelper::Urgent UsbtmcHelper::urgent(std::string_view bytes) noexcept {
  return worker_->urgent(bytes);
}

Result<void> UsbtmcHelper::Worker::ask(UsbtmcRequest request) {
  const std::lock_guard lock(mutex_);
  if (queue_.size() >= queue_max) return fail(Errc::busy, "too many requests at once", name_);
  queue_.push_back({std::move(request)});
  work_.notify_one();
  return {};
}

void UsbtmcHelper::Worker::withdraw(std::uint64_t number) noexcept {
  const std::lock_guard lock(mutex_);
  const auto queued =
      std::ranges::find_if(queue_, [number](const Queued& each) { return each.request.number == number; });
  if (busy_with_ == number) {
    is_unwanted_ = true;
  } else if (queued != queue_.end()) {
    if (queued->request.kind == Kind::read) must_clear_ = true;
    queue_.erase(queued);
  } else if (left_open_ == number) {
    must_clear_ = true;
  }
  work_.notify_one();
}

void UsbtmcHelper::Worker::close() noexcept {
  const std::lock_guard lock(mutex_);
  queue_.clear();
  is_unwanted_ = true;
  close_wanted_ = true;
  work_.notify_one();
}

void UsbtmcHelper::Worker::end() noexcept {
  const std::lock_guard lock(mutex_);
  queue_.clear();
  loop_ = nullptr;
  close_wanted_ = true;
  is_ended_ = true;
  work_.notify_one();
}

UsbtmcHelper::Urgent UsbtmcHelper::Worker::urgent(std::string_view bytes) noexcept {
  const std::lock_guard lock(mutex_);
  const bool waits_already = std::string_view(urgent_.data(), urgent_size_).ends_with(bytes);
  if (!waits_already) {
    if (bytes.size() > urgent_max - urgent_size_) return Urgent::refused;
    if (urgent_size_ == 0) threads_.urgent_begins();
    std::ranges::copy(bytes, urgent_.begin() + static_cast<std::ptrdiff_t>(urgent_size_));
    urgent_size_ += bytes.size();
  }
  for (Queued& each : queue_) {
    if (each.request.kind == Kind::write) each.is_overtaken = true;
  }
  work_.notify_one();
  return is_clearing_ ? Urgent::late : Urgent::sure;
}

}  // namespace leadwright
