// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/responder.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/eventfd.h>
#include <sys/socket.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstdlib>

#include "tools/benchmarks/measure.h"

namespace leadwright {

namespace {

/// A benchmark that can't be set up has nothing to say.
int must(int result, const char* what) {
  if (result >= 0) return result;
  std::perror(what);
  std::exit(1);
}

void make_raw(int terminal) {
  termios line{};
  must(::tcgetattr(terminal, &line), "tcgetattr");
  ::cfmakeraw(&line);
  must(::tcsetattr(terminal, TCSANOW, &line), "tcsetattr");
}

void send_at_once(int socket) {
  const int on = 1;
  ::setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
}

sockaddr_in loopback(std::uint16_t port) {
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  address.sin_port = htons(port);
  return address;
}

}  // namespace

Responder::~Responder() {
  if (thread_.joinable()) {
    const std::uint64_t one = 1;
    must(static_cast<int>(::write(wake_, &one, sizeof one)), "eventfd");
    thread_.join();
    ::close(wake_);
  }
  for (const Station& station : stations_) {
    ::close(station.descriptor);
    if (station.kept_open >= 0) ::close(station.kept_open);
  }
}

LinkAddress Responder::add(LinkAddress::Kind kind, Canned& instrument) {
  Station station;
  station.instrument = &instrument;
  LinkAddress address;
  address.kind = kind;
  if (kind == LinkAddress::Kind::serial) {
    station.descriptor = must(::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK), "posix_openpt");
    must(::unlockpt(station.descriptor), "unlockpt");
    std::array<char, 64> name{};
    must(-::ptsname_r(station.descriptor, name.data(), name.size()), "ptsname_r");
    address.target = name.data();
    station.kept_open = must(::open(name.data(), O_RDWR | O_NOCTTY | O_CLOEXEC), name.data());
    make_raw(station.kept_open);
  } else {
    station.is_listening = true;
    station.descriptor = must(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0), "socket");
    sockaddr_in any = loopback(0);
    socklen_t size = sizeof any;
    must(::bind(station.descriptor, reinterpret_cast<sockaddr*>(&any), size), "bind");
    must(::listen(station.descriptor, 1), "listen");
    must(::getsockname(station.descriptor, reinterpret_cast<sockaddr*>(&any), &size), "getsockname");
    address.target = "127.0.0.1:" + std::to_string(ntohs(any.sin_port));
  }
  stations_.push_back(station);
  return address;
}

void Responder::start(bool before_others) {
  wake_ = must(::eventfd(0, EFD_CLOEXEC), "eventfd");
  thread_ = std::thread([this, before_others] {
    if (before_others) run_before_others(true);
    serve();
  });
}

void Responder::serve() {
  std::vector<pollfd> watched;
  for (const Station& station : stations_) watched.push_back({station.descriptor, POLLIN, 0});
  watched.push_back({wake_, POLLIN, 0});
  std::string answers;
  while (true) {
    if (::poll(watched.data(), watched.size(), -1) < 0) continue;
    if (watched.back().revents != 0) return;
    for (std::size_t i = 0; i < stations_.size(); ++i) {
      if (watched[i].revents == 0) continue;
      Station& station = stations_[i];
      if (station.is_listening) {
        const int client = ::accept4(station.descriptor, nullptr, nullptr, SOCK_CLOEXEC | SOCK_NONBLOCK);
        if (client < 0) continue;
        ::close(station.descriptor);
        send_at_once(client);
        station.descriptor = watched[i].fd = client;
        station.is_listening = false;
      } else {
        if (!answer(station, answers)) watched[i].fd = -1;
      }
    }
  }
}

bool Responder::answer(Station& station, std::string& answers) {
  std::array<char, 1024> piece;
  const ssize_t count = ::read(station.descriptor, piece.data(), piece.size());
  if (count <= 0) return count < 0 && errno == EAGAIN;
  answers.clear();
  station.instrument->receive({piece.data(), static_cast<std::size_t>(count)}, answers);
  if (answers.empty()) return true;
  station.instrument->about_to_answer();
  // A client that has just gone needs no answer.
  if (station.kept_open < 0) {
    static_cast<void>(::send(station.descriptor, answers.data(), answers.size(), MSG_NOSIGNAL));
  } else {
    must(static_cast<int>(::write(station.descriptor, answers.data(), answers.size())), "write");
  }
  return true;
}

int open_bare(const LinkAddress& address) {
  if (address.kind == LinkAddress::Kind::serial) {
    const int terminal = must(::open(address.target.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC), "open");
    make_raw(terminal);
    return terminal;
  }
  const std::string_view port = std::string_view(address.target).substr(address.target.rfind(':') + 1);
  std::uint16_t number = 0;
  std::from_chars(port.data(), port.data() + port.size(), number);
  const int descriptor = must(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0), "socket");
  const sockaddr_in peer = loopback(number);
  must(::connect(descriptor, reinterpret_cast<const sockaddr*>(&peer), sizeof peer), "connect");
  send_at_once(descriptor);
  return descriptor;
}

}  // namespace leadwright
