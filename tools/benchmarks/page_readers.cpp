// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/page_readers.h"

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <string>

#include "tools/benchmarks/responder.h"

namespace leadwright {

PageReaders::PageReaders(std::uint16_t port, int count) : wake_(::eventfd(0, EFD_CLOEXEC)) {
  const std::string host = "127.0.0.1:" + std::to_string(port);
  const std::string request = "GET /api/v1/events HTTP/1.1\r\nHost: " + host + "\r\n\r\n";
  for (int i = 0; i < count; ++i) {
    sockets_.push_back(open_bare({LinkAddress::Kind::tcp, host}));
    static_cast<void>(::send(sockets_.back(), request.data(), request.size(), MSG_NOSIGNAL));
  }
  thread_ = std::thread([this] { read_all(); });
}

PageReaders::~PageReaders() {
  const std::uint64_t one = 1;
  static_cast<void>(::write(wake_, &one, sizeof one) < 0);
  thread_.join();
  for (const int socket : sockets_) ::close(socket);
  ::close(wake_);
}

void PageReaders::read_all() {
  std::vector<pollfd> watched;
  for (const int socket : sockets_) watched.push_back({socket, POLLIN, 0});
  watched.push_back({wake_, POLLIN, 0});
  std::array<char, 65536> piece;
  while (true) {
    if (::poll(watched.data(), watched.size(), -1) < 0) continue;
    if (watched.back().revents != 0) return;
    for (pollfd& one : watched) {
      if (one.revents == 0) continue;
      const ssize_t count = ::read(one.fd, piece.data(), piece.size());
      if (count <= 0) one.fd = -1;
      if (count > 0) bytes_read_ += static_cast<std::uint64_t>(count);
    }
  }
}

}  // namespace leadwright
