// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/control_socket.h"

#include <fcntl.h>
#include <unistd.h>

#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/streambuf.hpp>
#include <boost/asio/write.hpp>
#include <istream>
#include <utility>

#include "tools/benchsim/bench_lines.h"

namespace leadwright {

namespace asio = boost::asio;
using Local = asio::local::stream_protocol;
using Code = boost::system::error_code;

namespace {

constexpr std::size_t line_max = 4096;

/// A Unix socket's name is short; through the folder's descriptor any folder will do.
class Folder {
 public:
  explicit Folder(const std::string& path)
      : descriptor_(::open(path.c_str(), O_PATH | O_DIRECTORY | O_CLOEXEC)) {}
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  bool is_open() const { return descriptor_ >= 0; }
  std::string socket() const { return "/proc/self/fd/" + std::to_string(descriptor_) + "/benchsim.sock"; }

 private:
  int descriptor_;
};

/// One client; keeps itself alive while it is served.
struct Client : std::enable_shared_from_this<Client> {
  Client(Local::socket accepted, const ControlSocket::Answer& with)
      : socket(std::move(accepted)), answer(with) {}

  void read() {
    asio::async_read_until(socket, input, '\n', [self = shared_from_this()](const Code& error, std::size_t) {
      if (error) return;
      std::istream stream(&self->input);
      std::string line;
      std::getline(stream, line);
      self->output = self->answer(line) + '\n';
      self->write();
    });
  }
  void write() {
    asio::async_write(socket, asio::buffer(output),
                      [self = shared_from_this()](const Code& error, std::size_t) {
                        if (!error) self->read();
                      });
  }

  Local::socket socket;
  const ControlSocket::Answer& answer;
  asio::streambuf input{line_max};
  std::string output;
};

class Listener final : public ControlSocket {
 public:
  Listener(asio::io_context& context, const std::string& folder, Answer answer)
      : folder_(folder), acceptor_(context), answer_(std::move(answer)) {}
  ~Listener() override {
    if (listening_) ::unlink(folder_.socket().c_str());
  }

  Result<void> listen() {
    if (!folder_.is_open()) return fail(Errc::io, "can't open the folder", "--state");
    Code error;
    acceptor_.open(Local(), error);
    acceptor_.bind(Local::endpoint(folder_.socket()), error);
    if (error) return fail(Errc::io, "can't make the control socket: " + error.message(), "benchsim.sock");
    listening_ = true;
    acceptor_.listen(asio::socket_base::max_listen_connections, error);
    if (error) return fail(Errc::io, "can't listen: " + error.message(), "benchsim.sock");
    accept();
    return {};
  }

 private:
  void accept() {
    acceptor_.async_accept([this](const Code& error, Local::socket socket) {
      if (error) return;
      std::make_shared<Client>(std::move(socket), answer_)->read();
      accept();
    });
  }

  Folder folder_;
  Local::acceptor acceptor_;
  Answer answer_;
  bool listening_ = false;
};

}  // namespace

Result<std::unique_ptr<ControlSocket>> ControlSocket::open(asio::io_context& context,
                                                           const std::string& folder, Answer answer) {
  if (auto other = ask_bench(folder, "list")) {
    return fail(Errc::busy, "another benchsim serves this folder", folder,
                "end it, or choose another --state");
  }
  {
    const Folder dead(folder);
    if (dead.is_open()) ::unlink(dead.socket().c_str());
  }
  auto listener = std::make_unique<Listener>(context, folder, std::move(answer));
  if (auto listening = listener->listen(); !listening) return pass(listening);
  return listener;
}

Result<std::string> ask_bench(const std::string& state, const std::string& command) {
  const Folder folder(state);
  asio::io_context context;
  Local::socket socket(context);
  Code error;
  if (folder.is_open()) socket.connect(Local::endpoint(folder.socket()), error);
  if (!folder.is_open() || error) {
    return fail(Errc::link_lost, "no benchsim serves this folder", state, "start benchsim --state " + state);
  }
  std::string answer;
  asio::write(socket, asio::buffer(command + '\n'), error);
  if (!error) asio::read_until(socket, asio::dynamic_buffer(answer, line_max * 16), '\n', error);
  if (error) return fail(Errc::link_lost, "benchsim gave no answer: " + error.message(), state);
  answer.erase(answer.find('\n'));
  return answer;
}

}  // namespace leadwright
