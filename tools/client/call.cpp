// SPDX-License-Identifier: Apache-2.0
#include "tools/client/call.h"

#include <pwd.h>
#include <unistd.h>

#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>

#include "daemon/settings/state_directory.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

namespace json = boost::json;

std::string environment(const char* name) {
  const char* const value = std::getenv(name);
  return value == nullptr ? "" : value;
}

std::string actor_of(const ClientOptions& options) {
  if (!options.actor.empty()) return options.actor;
  if (const passwd* const entry = ::getpwuid(::getuid()); entry != nullptr) return entry->pw_name;
  return "uid " + std::to_string(::getuid());
}

Errc code_of(int status) {
  switch (status) {
    case 400:
    case 413:
    case 415:
    case 422:
      return Errc::bad_input;
    case 401:
    case 403:
      return Errc::refused;
    case 404:
      return Errc::not_found;
    case 409:
    case 412:
      return Errc::conflict;
    case 429:
    case 503:
      return Errc::busy;
    default:
      return Errc::bug;
  }
}

std::string text_at(const json::object& object, std::string_view key) {
  const auto* const value = object.if_contains(json::string_view(key.data(), key.size()));
  return value != nullptr && value->is_string() ? std::string(value->as_string().c_str()) : std::string();
}

/// A conflict whose title is "refused" can't be helped by waiting.
Error problem_of(const HttpAnswer& answer) {
  Error error{code_of(answer.status), "the bench answered with status " + std::to_string(answer.status), "",
              ""};
  json::error_code bad;
  const auto value = json::parse(answer.body, bad);
  if (bad || !value.is_object()) return error;
  const auto& body = value.as_object();
  if (text_at(body, "title") == word(Errc::refused)) error.code = Errc::refused;
  if (const auto detail = text_at(body, "detail"); !detail.empty()) error.what = detail;
  error.where = text_at(body, "where");
  error.mend = text_at(body, "mend");
  return error;
}

/// "[1]" and "[2]" to "[1,2]".
void join_list(std::string& all, std::string page) {
  if (all.size() <= sizeof "[]" - 1) {
    all = std::move(page);
  } else if (page.size() > sizeof "[]" - 1) {
    all.back() = ',';
    all.append(page, 1);
  }
}

}  // namespace

std::string bench_url(const ClientOptions& options) {
  if (!options.url.empty()) return options.url;
  if (options.state.empty()) {
    if (auto given = environment("LEADWRIGHT_URL"); !given.empty()) return given;
  }
  if (const auto folder = state_directory(options.state); !folder.empty()) {
    std::ifstream file(folder + "/url");
    if (std::string line; std::getline(file, line) && !line.empty()) return line;
  }
  return "http://127.0.0.1:8417";
}

HttpHeaders token_headers() {
  std::string token = environment("LEADWRIGHT_TOKEN");
  if (const auto name = environment("LEADWRIGHT_TOKEN_FILE"); token.empty() && !name.empty()) {
    std::ifstream file(name);
    std::getline(file, token);
  }
  if (token.empty()) return {};
  return {{"Authorization", "Bearer " + token}};
}

Result<std::string> ask(const ClientOptions& options, const ClientCall& what) {
  HttpCall call{what.method, what.path, what.body, token_headers()};
  if (!what.key.empty()) call.headers.emplace_back("Idempotency-Key", what.key);
  if (what.method != "GET") call.headers.push_back(actor_header(actor_of(options)));
  std::string all;
  for (;;) {
    auto answer = http_request(bench_url(options), call);
    if (!answer) return pass(answer);
    if (answer->status >= 400) return tl::unexpected<Error>(problem_of(*answer));
    join_list(all, std::move(answer->body));
    if (answer->next.empty()) return all;
    call.path = answer->next;
  }
}

ExitCode run_ask(const ClientOptions& options, const ClientCall& what, Show show) {
  const auto body = ask(options, what);
  if (!body) return report(options, body.error());
  if (options.json) {
    std::cout << *body << "\n";
  } else {
    std::cout << show(*body);
  }
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

ExitCode report(const ClientOptions& options, const Error& error) {
  if (options.json) {
    const json::object problem{{"type", "about:blank"},
                               {"title", word(error.code)},
                               {"detail", error.what},
                               {"where", error.where},
                               {"mend", error.mend}};
    std::cout << json::serialize(problem) << std::endl;
  } else {
    std::string line = error.what;
    for (const auto* part : {&error.where, &error.mend}) {
      if (!part->empty()) line += ": " + *part;
    }
    std::cerr << "leadwright: " << line << "\n";
  }
  return exit_code(error.code);
}

Result<std::string> read_input(const std::string& file, const char* mend) {
  if (file == "-") return std::string(std::istreambuf_iterator<char>(std::cin), {});
  std::ifstream in(file, std::ios::binary);
  if (!in) return fail(Errc::not_found, "the file can't be opened", file, mend);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

ExitCode write_text(const ClientOptions& options, const std::string& text, const std::string& file,
                    const char* option) {
  if (file == "-") {
    std::cout << text;
    return std::cout.flush() ? ExitCode::ok : ExitCode::io;
  }
  std::ofstream out(file, std::ios::trunc | std::ios::binary);
  out << text;
  if (out.flush()) return ExitCode::ok;
  return report(options,
                {Errc::io, "the file can't be written", file, std::string("name another with ") + option});
}

std::string path_segment(const std::string& text) {
  constexpr std::string_view plain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~";
  constexpr std::string_view hex = "0123456789ABCDEF";
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (plain.find(c) != std::string_view::npos) {
      out += c;
    } else {
      out.append({'%', hex[byte >> 4U], hex[byte & 0x0FU]});
    }
  }
  return out;
}

}  // namespace leadwright
