// SPDX-License-Identifier: Apache-2.0
// Certificates over HTTP: drawn elsewhere, and never asked of control.
#include <gmock/gmock.h>

#include <future>

#include "tests/web/fake_bench.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

HttpAnswer get(FakeBench& bench, const std::string& path) {
  auto answer = http_request(bench.web().url(), {"GET", path, {}, {}});
  EXPECT_TRUE(answer) << answer.error().line();
  return answer.value_or(HttpAnswer{});
}

/// Answers on a thread of its own with what was asked.
class PaperThread {
 public:
  void draw(const Request& request, std::function<void(Response)> back) {
    drawn_.push_back(std::async(std::launch::async, [request, back = std::move(back)] {
      back({200, request.verb + " of " + request.subject});
    }));
  }

 private:
  std::vector<std::future<void>> drawn_;
};

TEST(Papers, are_drawn_on_another_thread_with_the_type_of_their_drawing) {
  PaperThread thread;
  FakeBench bench(nullptr, [&thread](const Request& request, std::function<void(Response)> back) {
    thread.draw(request, std::move(back));
  });
  const auto pdf = get(bench, "/api/v1/tickets/T-000001-9/certificate.pdf");
  EXPECT_EQ(pdf.status, 200);
  EXPECT_EQ(pdf.content_type, "application/pdf");
  EXPECT_EQ(pdf.body, "certificate.pdf of T-000001-9");
  const auto svg = get(bench, "/api/v1/tickets/T-000001-9/certificate.svg");
  EXPECT_EQ(svg.content_type, "image/svg+xml");
  EXPECT_EQ(svg.body, "certificate.svg of T-000001-9");
  EXPECT_TRUE(bench.service.seen().empty()) << "control was asked";
}

TEST(Papers, that_can_not_be_drawn_are_a_problem_with_its_status) {
  FakeBench bench(nullptr, [](const Request&, const std::function<void(Response)>& back) {
    back({409, R"({"detail":"no grade yet"})"});
  });
  const auto answer = get(bench, "/api/v1/tickets/T-000001-9/certificate.pdf");
  EXPECT_EQ(answer.status, 409);
  EXPECT_EQ(answer.content_type, "application/problem+json");
}

TEST(Papers, are_refused_politely_where_nobody_draws) {
  FakeBench bench;
  const auto answer = get(bench, "/api/v1/tickets/T-000001-9/certificate.pdf");
  EXPECT_EQ(answer.status, 503);
  EXPECT_THAT(answer.body, testing::HasSubstr("no papers are drawn here"));
}

}  // namespace
}  // namespace leadwright
