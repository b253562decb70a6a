// SPDX-License-Identifier: Apache-2.0
// Draws certificates while the bench runs. For: the page. Owned by main. Thread: its own, with its own
// read-only connection; draw() from any. Never: on control's thread (a page takes some 20 ms) nor on
// the web's, which a stop must cross in 50 ms. Read next: certificate_source.h, document.h.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>

#include "daemon/certificate/document.h"
#include "daemon/queue/service.h"

namespace leadwright {

struct DeskSettings {
  std::string database_path;
  std::string state_folder;  ///< where the signing key lies
  Paper paper = Paper::a4;
  std::size_t waiting_max = 16;
};

class CertificateDesk {
 public:
  explicit CertificateDesk(DeskSettings settings);
  CertificateDesk(const CertificateDesk&) = delete;
  CertificateDesk& operator=(const CertificateDesk&) = delete;
  /// Finishes the page in hand; those that wait are never called back.
  ~CertificateDesk();

  /// The subject is the ticket, the verb "certificate.pdf", "certificate.svg", or "code.svg" for its number
  /// as a Code 128, with or without a grade. `back` is called once, on the desk's thread: 200 with the
  /// document, 409 for a ticket without a grade, 404 for one that is not stored; 503 at once, on the
  /// caller's, when `waiting_max` wait.
  void draw(const Request& request, const std::function<void(Response)>& back);

 private:
  class Work;
  std::unique_ptr<Work> work_;
};

}  // namespace leadwright
