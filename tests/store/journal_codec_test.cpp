// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/journal_codec.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

RunJournal a_journal() {
  RunJournal journal;
  journal.run = RunId{7};
  journal.at = Utc(1'700'000'000'123'456'789);
  journal.bench_at = Instant(42);
  journal.started_by = "a \"name\"";
  journal.instruments = "load; charger";
  journal.interruptions = 2;
  journal.unmeasured = Coulomb(0.1);
  journal.step = 1;
  journal.step_time = Second(1.0 / 3.0);
  journal.amps_max = Ampere(12.0);
  journal.run_charge = Coulomb(-4000.0);
  journal.backs = {0, 3};
  journal.own = {{1.5, std::nullopt}, {}};
  journal.parameters = {{"draw_current", 5.0}};
  journal.estimated = {{"draw", "estimated from 25 A"}};
  journal.volts = Volt(14.4);
  journal.samples = 12;
  journal.blocks = 3;
  journal.spans = {{1, "charge", 4, 12, Second(30.0), Second(41.0), "", true}};
  Finding finding;
  finding.measurand = Measurand::returned;
  finding.value = 12.5;
  finding.budget = {{"ammeter gain", "0.1 %", 0.01}};
  journal.findings = {finding};
  journal.faults = {{TicketId{1}, RunId{7}, FaultKind::unsafe, "it smells", Utc(5)}};
  return journal;
}

TEST(JournalCodec, gives_back_what_it_was_given) {
  const auto read = decode_journal(encode_journal(a_journal()));
  ASSERT_TRUE(read) << read.error().line();
  EXPECT_EQ(encode_journal(*read), encode_journal(a_journal()));
  EXPECT_EQ(read->at, a_journal().at);
  EXPECT_EQ(read->step_time, Second(1.0 / 3.0));
  EXPECT_EQ(read->own, a_journal().own);
  EXPECT_EQ(read->rested, std::nullopt);
  EXPECT_TRUE(read->spans.front().continues);
  EXPECT_EQ(read->findings.front().budget.front().quantity, "ammeter gain");
  EXPECT_EQ(read->faults.front().evidence, "it smells");
}

TEST(JournalCodec, refuses_every_torn_text) {
  const std::string whole = encode_journal(a_journal());
  for (std::size_t length = 0; length < whole.size(); ++length)
    EXPECT_FALSE(decode_journal(whole.substr(0, length))) << length;
}

TEST(JournalCodec, refuses_another_format) {
  std::string other = encode_journal(a_journal());
  const std::string format = R"("format":1)";
  ASSERT_NE(other.find(format), std::string::npos);
  other.replace(other.find(format), format.size(), R"("format":2)");
  EXPECT_FALSE(decode_journal(other));
}

}  // namespace
}  // namespace leadwright
