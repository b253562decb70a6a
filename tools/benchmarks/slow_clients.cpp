// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/slow_clients.h"

#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <string_view>
#include <vector>

#include "tools/benchmarks/responder.h"

namespace leadwright {

namespace {

constexpr std::string_view never_ends = "GET /api/v1/bench HTTP/1.1\r\nX-Slow: ";
constexpr Second a_byte_every{1.0};

struct SlowClient {
  int socket = -1;
  std::size_t sent = 0;
};

/// False if the server has closed it.
bool say_a_byte(SlowClient& client) {
  char heard = 0;
  const ssize_t count = ::recv(client.socket, &heard, 1, MSG_DONTWAIT);
  if (count == 0 || (count < 0 && errno != EAGAIN)) return false;
  const char next = client.sent < never_ends.size() ? never_ends[client.sent] : 'x';
  ++client.sent;
  return ::send(client.socket, &next, 1, MSG_NOSIGNAL | MSG_DONTWAIT) == 1;
}

}  // namespace

SlowClients::SlowClients(std::uint16_t port, int count)
    : thread_([this, port, count] { dawdle(port, count); }) {}

SlowClients::~SlowClients() {
  ending_.end();
  thread_.join();
}

void SlowClients::dawdle(std::uint16_t port, int count) {
  const LinkAddress server{LinkAddress::Kind::tcp, "127.0.0.1:" + std::to_string(port)};
  std::vector<SlowClient> clients(static_cast<std::size_t>(count));
  for (SlowClient& client : clients) client.socket = open_bare(server);
  const Second pause = a_byte_every / static_cast<double>(count);
  for (std::size_t turn = 0; ending_.pause(pause); turn = (turn + 1) % clients.size()) {
    SlowClient& client = clients[turn];
    if (!say_a_byte(client)) {
      ++closed_;
      ::close(client.socket);
      client = {open_bare(server)};
    }
  }
  for (const SlowClient& client : clients) ::close(client.socket);
}

}  // namespace leadwright
