// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/desk.h"

#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>

#include "daemon/certificate/certificate_source.h"
#include "daemon/certificate/key_file.h"
#include "daemon/certificate/ticket_code.h"
#include "daemon/queue/problem.h"

namespace leadwright {

class CertificateDesk::Work {
 public:
  explicit Work(DeskSettings settings) : settings_(std::move(settings)), thread_([this] { run(); }) {}
  Work(const Work&) = delete;
  Work& operator=(const Work&) = delete;
  ~Work() {
    {
      const std::scoped_lock lock(mutex_);
      is_ending_ = true;
    }
    arrived_.notify_one();
    thread_.join();
  }

  /// False if too many wait.
  bool add(const Request& request, const std::function<void(Response)>& back) {
    {
      const std::scoped_lock lock(mutex_);
      if (waiting_.size() >= settings_.waiting_max) return false;
      waiting_.push_back({request, back});
    }
    arrived_.notify_one();
    return true;
  }

 private:
  struct Job {
    Request request;
    std::function<void(Response)> back;
  };

  void run() {
    for (;;) {
      std::unique_lock lock(mutex_);
      arrived_.wait(lock, [this] { return is_ending_ || !waiting_.empty(); });
      if (is_ending_) return;
      const Job job = std::move(waiting_.front());
      waiting_.pop_front();
      lock.unlock();
      auto document = drawn_for(job.request);
      job.back(document ? Response{200, std::move(*document)} : problem(document.error()));
    }
  }

  Result<std::string> drawn_for(const Request& request) {
    if (!history_) {
      auto opened = open_history(settings_.database_path);
      if (!opened) return pass(opened);
      history_ = std::move(*opened);
    }
    if (request.verb == "code.svg") return code_for(request.subject);
    const auto drawing = drawing_of(request.verb);
    if (!drawing) return fail(Errc::bug, "no such paper: " + request.verb);
    auto certificate = certificate_out_of(*history_, request.subject);
    if (!certificate) return pass(certificate);
    auto key = bench_key(settings_.state_folder);
    if (!key) return pass(key);
    return certificate_document(*certificate, *key, *drawing, settings_.paper);
  }

  Result<std::string> code_for(const std::string& subject) {
    auto ticket = parse_ticket_id(subject);
    if (!ticket) return pass(ticket);
    auto visit = history_->visit(*ticket);
    if (!visit) return pass(visit);
    if (visit->tickets.empty()) return tl::unexpected<Error>(no_ticket(subject));
    return ticket_code_svg(shown(*ticket));
  }

  DeskSettings settings_;
  std::unique_ptr<History> history_;  ///< the desk's thread alone
  std::mutex mutex_;
  std::condition_variable arrived_;
  std::deque<Job> waiting_;
  bool is_ending_ = false;
  std::thread thread_;  ///< last: it uses the others from its first moment on
};

CertificateDesk::CertificateDesk(DeskSettings settings)
    : work_(std::make_unique<Work>(std::move(settings))) {}

CertificateDesk::~CertificateDesk() = default;

void CertificateDesk::draw(const Request& request, const std::function<void(Response)>& back) {
  if (work_->add(request, back)) return;
  back(problem({Errc::busy, "many certificates wait to be drawn", "", "try again in some seconds"}));
}

}  // namespace leadwright
