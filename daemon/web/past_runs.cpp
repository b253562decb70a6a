// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/past_runs.h"

#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>
#include <charconv>
#include <optional>

#include "daemon/store/json.h"
#include "daemon/web/reply.h"

namespace leadwright {
namespace {

constexpr std::size_t every_max = 1000000;

/// What `?every=` asks for; none if it was not given.
Result<std::optional<std::size_t>> every_of(const std::string& body) {
  if (body.empty()) return std::nullopt;
  boost::json::error_code error;
  const auto value = boost::json::parse(body, error);
  const auto* const text = !error && value.is_object() ? value.get_object().if_contains("every") : nullptr;
  if (text == nullptr || !text->is_string()) return std::nullopt;
  const std::string_view digits(text->get_string().data(), text->get_string().size());
  std::size_t every = 0;
  const auto [end, bad] = std::from_chars(digits.data(), digits.data() + digits.size(), every);
  if (bad == std::errc() && end == digits.data() + digits.size() && every >= 1 && every <= every_max) {
    return every;
  }
  return fail(Errc::bad_input, "this is not a whole number from 1 to 1000000", "every", "every=1 gives all");
}

int status_of(Errc code) {
  if (code == Errc::bad_input) return 400;
  return code == Errc::not_found ? 404 : 503;
}

Response answered(Result<std::string> body) {
  if (body) return {200, std::move(*body)};
  const int status = status_of(body.error().code);
  return {status, problem(status, body.error()).body};
}

}  // namespace

PastRuns::PastRuns(std::string database_path) : path_(std::move(database_path)) {}

Response PastRuns::trace(const Request& request) {
  return answered(read(request));
}

Response PastRuns::photo(const Request& request) {
  return answered(read_photo(request));
}

Result<void> PastRuns::open() {
  if (history_) return {};
  auto opened = open_history(path_);
  if (!opened) return pass(opened);
  history_ = std::move(*opened);
  return {};
}

Result<std::string> PastRuns::read_photo(const Request& request) {
  const auto none = [&request] {
    return fail(Errc::not_found, "there is no photo " + request.subject, "photo",
                "the ticket shows its photos; an erased one is gone");
  };
  const auto id = parse_photo_id(request.subject);
  if (!id) return none();
  if (auto opened = open(); !opened) return pass(opened);
  auto jpeg = history_->photo(*id);
  if (jpeg && jpeg->empty()) return none();
  return jpeg;
}

Result<std::string> PastRuns::read(const Request& request) {
  auto run = parse_run_id(request.subject);
  if (!run) return pass(run);
  auto every = every_of(request.body);
  if (!every) return pass(every);
  if (auto opened = open(); !opened) return pass(opened);
  auto known = history_->has_run(*run);
  if (!known) return pass(known);
  if (!*known) {
    return fail(Errc::not_found, "there is no run " + request.subject, "run", "the ticket shows its runs");
  }
  auto samples = history_->trace(*run);
  if (!samples) return pass(samples);
  return trace_json(*run, *samples, every->value_or(thinning(samples->size(), samples_max)));
}

}  // namespace leadwright
