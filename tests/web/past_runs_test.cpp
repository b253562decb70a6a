// SPDX-License-Identifier: Apache-2.0
// Traces of ended runs: a store on disk, read by the web thread of a server whose control knows no run.
#include "daemon/web/past_runs.h"

#include <gtest/gtest.h>

#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>

#include "tests/store/store_world.h"
#include "tests/web/fake_bench.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

constexpr int sample_count = 90;

class PastRunsTest : public testing::Test {
 protected:
  PastRunsTest() : store_(open_store(folder_.path(), loop_)) {
    Batch batch = example_visit();
    batch.emplace_back(TraceBlock{RunId{1}, 0, example_samples(sample_count)});
    EXPECT_TRUE(write_now(*store_, loop_, std::move(batch)));
    past_ = std::make_shared<PastRuns>(store_->path());
  }
  Response trace(std::string run, std::string body = "") {
    Request request;
    request.verb = "run.trace";
    request.subject = std::move(run);
    request.body = std::move(body);
    return past_->trace(request);
  }
  static boost::json::value parsed(const std::string& body) { return boost::json::parse(body); }

  TempFolder folder_;
  QueueLoop loop_;
  std::unique_ptr<SqliteStore> store_;
  std::shared_ptr<PastRuns> past_;
};

TEST_F(PastRunsTest, give_the_stored_samples) {
  const Response response = trace("R-000001");
  ASSERT_EQ(response.status, 200) << response.body;
  const auto body = parsed(response.body);
  EXPECT_EQ(body.at("run").as_string(), "R-000001");
  EXPECT_EQ(body.at("every").as_int64(), 1);
  const auto& samples = body.at("samples").as_array();
  ASSERT_EQ(samples.size(), static_cast<std::size_t>(sample_count));
  const auto stored = example_samples(sample_count);
  EXPECT_DOUBLE_EQ(samples[89].at("t_s").to_number<double>(), stored[89].at.si());
  EXPECT_DOUBLE_EQ(samples[89].at("volts_v").to_number<double>(), stored[89].volts->si());
}

TEST_F(PastRunsTest, give_every_nth_sample_when_asked) {
  const auto body = parsed(trace("R-000001", R"({"every":"40"})").body);
  EXPECT_EQ(body.at("every").as_int64(), 40);
  EXPECT_EQ(body.at("samples").as_array().size(), 3U);
}

TEST_F(PastRunsTest, thin_a_long_run_below_the_limit) {
  const int many = static_cast<int>(PastRuns::samples_max) + 1;
  ASSERT_TRUE(write_now(*store_, loop_, {TraceBlock{RunId{1}, 0, example_samples(many)}}));
  const auto body = parsed(trace("R-000001").body);
  EXPECT_EQ(body.at("every").as_int64(), 2);
  EXPECT_EQ(body.at("samples").as_array().size(), static_cast<std::size_t>((many + 1) / 2));
}

TEST_F(PastRunsTest, refuse_what_is_no_number_of_a_run_and_what_is_no_whole_number) {
  for (const std::string run : {"1", "R-1", "T-000001-3", "R-000001'--"}) {
    EXPECT_EQ(trace(run).status, 400) << run;
  }
  for (const std::string every : {"0", "-1", "1.5", "1000001", "", "all"}) {
    EXPECT_EQ(trace("R-000001", R"({"every":")" + every + "\"}").status, 400) << every;
  }
}

TEST_F(PastRunsTest, say_which_run_is_not_stored) {
  const Response response = trace("R-000007");
  EXPECT_EQ(response.status, 404);
  EXPECT_NE(response.body.find("R-000007"), std::string::npos);
}

TEST_F(PastRunsTest, answer_503_where_there_is_no_store) {
  PastRuns past(folder_.path() + "/none.db");
  Request request;
  request.subject = "R-000001";
  EXPECT_EQ(past.trace(request).status, 503);
}

TEST_F(PastRunsTest, are_asked_only_when_control_knows_no_such_run) {
  FakeBench bench(past_);
  const auto get = [&](const std::string& path) {
    auto answer = http_request(bench.web().url(), {"GET", path, {}, {}});
    EXPECT_TRUE(answer) << answer.error().line();
    return answer.value_or(HttpAnswer{});
  };
  const auto live = get("/api/v1/runs/R-000001/trace");
  EXPECT_EQ(live.status, 200);
  EXPECT_EQ(parsed(live.body).at("verb").as_string(), "run.trace");
  bench.service.answer_with({404, "{}"});
  const auto ended = get("/api/v1/runs/R-000001/trace?every=45");
  EXPECT_EQ(ended.status, 200);
  EXPECT_EQ(ended.content_type, "application/json");
  EXPECT_EQ(parsed(ended.body).at("samples").as_array().size(), 2U);
  EXPECT_EQ(get("/api/v1/runs/R-000007/trace").status, 404);
  const auto bad = get("/api/v1/runs/none/trace");
  EXPECT_EQ(bad.status, 400);
  EXPECT_EQ(bad.content_type, "application/problem+json");
  EXPECT_EQ(get("/api/v1/tickets/T-1").body, "{}") << "only traces are looked up";
}

}  // namespace
}  // namespace leadwright
