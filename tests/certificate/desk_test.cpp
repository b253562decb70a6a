// SPDX-License-Identifier: Apache-2.0
// The desk's thread with a store on disk: what the page of a running bench gets.
#include "daemon/certificate/desk.h"

#include <gmock/gmock.h>

#include <future>

#include "daemon/certificate/key_file.h"
#include "daemon/certificate/verify.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class DeskTest : public testing::Test {
 protected:
  DeskTest() : store_(open_store(folder_.path(), loop_)) {
    Batch batch = example_visit();
    leadwright::Run run = example_run();
    run.outcome = RunOutcome::complete;
    batch.emplace_back(run);
    batch.emplace_back(example_finding());
    batch.emplace_back(example_grade());
    batch.emplace_back(example_ticket(2));
    EXPECT_TRUE(write_now(*store_, loop_, std::move(batch)));
  }
  Response ask(const std::string& ticket, const std::string& verb, std::size_t waiting_max = 16) {
    CertificateDesk desk({store_->path(), folder_.path(), Paper::a4, waiting_max});
    Request request;
    request.verb = verb;
    request.subject = ticket;
    std::promise<Response> answer;
    desk.draw(request, [&answer](Response response) { answer.set_value(std::move(response)); });
    return answer.get_future().get();
  }

  TempFolder folder_;
  QueueLoop loop_;
  std::unique_ptr<SqliteStore> store_;
};

TEST_F(DeskTest, draws_the_certificate_of_a_stored_ticket_signed_with_the_benchs_key) {
  for (const char* verb : {"certificate.pdf", "certificate.svg"}) {
    const Response response = ask(shown(TicketId{1}), verb);
    ASSERT_EQ(response.status, 200) << response.body;
    const Verification found = verify(response.body, public_key_of(*bench_key(folder_.path())));
    EXPECT_EQ(found.verdict, Authenticity::good) << found.why;
    EXPECT_THAT(found.statement, HasSubstr("reserve capacity: 101.30 +- 0.20 min"));
    EXPECT_THAT(found.statement, HasSubstr("simulated: yes"));
  }
}

TEST_F(DeskTest, says_what_to_do_about_a_ticket_without_a_grade) {
  const Response response = ask(shown(TicketId{2}), "certificate.pdf");
  EXPECT_EQ(response.status, 409);
  EXPECT_THAT(response.body, HasSubstr("has no grade yet"));
  EXPECT_THAT(response.body, HasSubstr("leadwright ticket show"));
}

TEST_F(DeskTest, knows_no_ticket_that_is_not_stored_and_nothing_that_is_no_number) {
  EXPECT_EQ(ask(shown(TicketId{7}), "certificate.pdf").status, 404);
  EXPECT_EQ(ask("T-1", "certificate.pdf").status, 400);
}

TEST_F(DeskTest, draws_the_number_of_a_ticket_before_it_has_a_grade) {
  const Response response = ask(shown(TicketId{2}), "code.svg");
  EXPECT_EQ(response.status, 200);
  EXPECT_THAT(response.body, HasSubstr("<title>" + shown(TicketId{2}) + "</title>"));
  EXPECT_EQ(ask(shown(TicketId{7}), "code.svg").status, 404);
  EXPECT_EQ(ask("T-1", "code.svg").status, 400);
}

TEST_F(DeskTest, is_busy_rather_than_let_work_pile_up) {
  EXPECT_EQ(ask(shown(TicketId{1}), "certificate.pdf", 0).status, 503);
}

}  // namespace
}  // namespace leadwright
