// SPDX-License-Identifier: Apache-2.0
#include "tools/client/watch.h"

#include <unistd.h>

#include <iostream>

#include "tools/client/call.h"
#include "tools/client/http_client.h"
#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;

std::string reading(const json::value& value, int digits) {
  const auto found = number(value);
  return found ? decimal(*found, digits) : "-";
}

std::string numbers_of(const json::value& place) {
  std::string text = reading(member(place, "volts_v"), 3) + " V  " + reading(member(place, "amps_a"), 2) +
                     " A  " + reading(member(place, "case_degc"), 1) + " degC";
  if (const auto left = number(member(place, "left_s"))) text += "  " + short_duration(*left) + " left";
  if (const auto share = number(member(place, "progress"))) {
    text += "  " + decimal(*share * 100.0, 0) + " %";
  }
  return text;
}

std::string deed_of(const json::value& place) {
  std::string text = words(member(place, "activity"));
  for (const auto* key : {"ticket", "procedure", "step", "doing"}) {
    if (const auto part = words(member(place, key)); !part.empty()) text += "  " + part;
  }
  return text;
}

/// One line a place on a terminal, rewritten in place; one line a change otherwise.
class Screen {
 public:
  explicit Screen(bool is_terminal) : is_terminal_(is_terminal) {}

  void show(const std::vector<WatchView::Line>& lines) {
    if (is_terminal_ && drawn_ > 0) std::cout << "\x1b[" << drawn_ << "A";
    for (const auto& line : lines) {
      if (!is_terminal_ && !line.is_new) continue;
      std::string text = table({{line.place, line.text}});
      if (is_terminal_) text.insert(text.size() - 1, "\x1b[K");
      std::cout << text;
    }
    if (is_terminal_ && lines.size() < drawn_) std::cout << "\x1b[J";
    drawn_ = lines.size();
    std::cout.flush();
  }

 private:
  bool is_terminal_;
  std::size_t drawn_ = 0;
};

}  // namespace

Result<std::vector<WatchView::Line>> WatchView::take(std::string_view snapshot) {
  const auto bench = parse_json(snapshot);
  if (!bench || !member(*bench, "places").is_array()) {
    return fail(Errc::garbled, "this is not a snapshot of a bench", "/api/v1/events");
  }
  std::vector<Line> lines;
  bool is_known = false;
  for (const auto& place : member(*bench, "places").get_array()) {
    const auto name = words(member(place, "name"));
    if (!place_.empty() && name != place_) continue;
    is_known = true;
    const auto activity = words(member(place, "activity"));
    const bool is_running = activity == "running";
    const auto deed = deed_of(place);
    auto& last = last_[name];
    const bool is_new = deed != last;
    if (is_running || !place_.empty() || (is_new && !last.empty())) {
      lines.push_back({name, deed + (is_running ? "  " + numbers_of(place) : ""), is_new});
    }
    last = deed;
    if (place_.empty()) continue;
    has_ended_ = has_run_ && !is_running;
    ended_badly_ = has_ended_ && (activity == "tripped" || activity == "out_of_service");
    if (!has_run_ && !is_running) {
      return fail(Errc::conflict, "nothing runs there", name, "start it with leadwright place start " + name);
    }
    has_run_ = true;
  }
  if (!place_.empty() && !is_known) {
    return fail(Errc::not_found, "there is no such place", place_, "see leadwright place list");
  }
  return lines;
}

ExitCode run_watch(const ClientOptions& client, const WatchOptions& options) {
  WatchView view(options.place);
  Screen screen(::isatty(STDOUT_FILENO) == 1);
  std::optional<Error> trouble;
  const auto take = [&](const HttpEvent& event) {
    if (event.name != "bench") return true;
    auto lines = view.take(event.data);
    if (!lines) {
      trouble = lines.error();
      return false;
    }
    if (client.json) {
      std::cout << event.data << std::endl;
    } else {
      screen.show(*lines);
    }
    return !view.has_ended();
  };
  const auto followed = http_follow(bench_url(client), "/api/v1/events", take, token_headers());
  if (trouble) return report(client, *trouble);
  if (!followed) return report(client, followed.error());
  return view.ended_badly() ? ExitCode::negative : ExitCode::ok;
}

}  // namespace leadwright
