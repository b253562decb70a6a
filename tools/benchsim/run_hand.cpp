// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/run_hand.h"

#include <boost/asio/io_context.hpp>
#include <optional>
#include <utility>

#include "daemon/clock/real_clock.h"
#include "tools/benchsim/bench_lines.h"
#include "tools/benchsim/hand.h"
#include "tools/client/http_client.h"

namespace leadwright {

namespace {

constexpr Second turn_period{0.5};
constexpr const char* actor = "demo hand";

Result<std::string> call_api(const std::string& url, const std::string& method, const std::string& path,
                             const std::string& body) {
  auto answer = http_request(url, HttpCall{method, path, body, {actor_header(actor)}});
  if (!answer) return pass(answer);
  if (answer->status >= 200 && answer->status < 300) return std::move(answer->body);
  std::string what = json_member(answer->body, "detail");
  if (what.empty()) what = json_member(answer->body, "title");
  if (what.empty()) what = "HTTP status " + std::to_string(answer->status);
  return fail(Errc::conflict, std::move(what), json_member(answer->body, "where"),
              json_member(answer->body, "mend"));
}

Result<std::string> call_bench(const std::string& state, const std::string& command) {
  auto answer = ask_bench(state, command);
  if (answer && answer->starts_with("error")) return fail(Errc::conflict, *answer, command);
  return answer;
}

/// Turns of the hand until its work or its time is over.
Task<void> work(Hand* hand, Clock* clock, Instant deadline, std::optional<Error>* failed) {
  while (clock->now() < deadline) {
    const Result<bool> done = hand->turn();
    if (!done) *failed = done.error();
    if (!done || *done) co_return;
    auto pause = clock->sleep_for(turn_period);
    co_await pause;
  }
}

std::string final_text(const Hand& hand, bool json) {
  if (json) return queue_json(hand.view()) + "\n";
  std::string text;
  for (const std::string& line : hand.table()) text += line + "\n";
  return text + std::to_string(hand.graded()) + " of " + std::to_string(hand.tickets()) +
         " tickets have their grade\n";
}

}  // namespace

Result<HandOutcome> run_hand(const RunHandOptions& options,
                             const std::function<void(const std::string&)>& say) {
  auto scenario = load_scenario(options.scenario);
  if (!scenario) {
    for (std::size_t i = 1; i < scenario.error().size(); ++i) say(scenario.error()[i].line());
    return tl::unexpected<Error>(scenario.error().front());
  }
  Hand hand({[&options](const std::string& method, const std::string& path, const std::string& body) {
               return call_api(options.url, method, path, body);
             },
             [&options](const std::string& command) { return call_bench(options.state, command); }, say},
            std::move(*scenario));
  if (auto dropped = hand.drop_off(); !dropped) return pass(dropped);

  boost::asio::io_context context(1);
  AsioLoop loop(context);
  RealClock clock(loop);
  std::exception_ptr bug;
  loop.on_bug = [&bug](std::exception_ptr thrown) { bug = std::move(thrown); };
  std::optional<Error> failed;
  const Instant deadline = clock.now() + Second(options.timeout_s);
  const Job job(loop, work(&hand, &clock, deadline, &failed));
  while (!job.done() && context.run_one() > 0) {
  }
  if (bug) std::rethrow_exception(bug);
  if (failed) return tl::unexpected<Error>(std::move(*failed));
  return HandOutcome{hand.graded() == hand.tickets(), final_text(hand, options.json)};
}

}  // namespace leadwright
