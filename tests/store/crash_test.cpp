// SPDX-License-Identifier: Apache-2.0
// A child process writes and tells every acknowledgement through a pipe; it is killed at a random moment;
// what it told must be in the database. A program of its own, since it forks.
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <random>

#include "daemon/store/audit.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

/// STORE_KILLS in the environment, for the runs that take their time.
int cycles_asked() {
  constexpr int usual = 20;
  const char* const asked = std::getenv("STORE_KILLS");
  int count = 0;
  const bool is_number =
      asked != nullptr && std::from_chars(asked, asked + std::strlen(asked), count).ec == std::errc();
  return is_number ? count : usual;
}
constexpr std::uint64_t acknowledgements_max = 40;  ///< seen before the kill

/// Never returns: writes one ticket and one audit row a batch until it is killed.
[[noreturn]] void write_until_killed(const std::string& folder, int pipe_end) {
  QueueLoop loop;
  const auto store = open_store(folder, loop);
  const std::int64_t first = store->load().value().last_ticket + 1;
  if (first == 1 && !write_now(*store, loop, {example_battery()})) ::_exit(3);
  for (std::int64_t number = first;; ++number) {
    Ticket ticket = example_ticket();
    ticket.id = TicketId{number};
    store->write({ticket, example_audit(static_cast<int>(number))}, [=](const Result<void>& result) {
      if (!result || ::write(pipe_end, &number, sizeof number) != sizeof number) ::_exit(4);
    });
    // A few batches at once, so that group commits are torn too.
    const std::size_t waiting_max = static_cast<std::size_t>(number % 5);
    loop.run_until([&] { return store->backlog() <= waiting_max; });
  }
}

/// Reads `count` acknowledgements, kills the child, and reads what is left: the last number told.
std::int64_t last_told(int pipe_end, pid_t child, std::uint64_t count) {
  std::int64_t last = 0;
  std::int64_t number = 0;
  bool is_killed = false;
  for (std::uint64_t seen = 0; ::read(pipe_end, &number, sizeof number) == sizeof number; ++seen) {
    last = std::max(last, number);
    if (seen + 1 >= count && !is_killed) {
      ::kill(child, SIGKILL);
      is_killed = true;
    }
  }
  return last;
}

TEST(StoreCrash, keeps_every_acknowledged_write_when_it_is_killed) {
  const TempFolder folder;
  const int cycles = cycles_asked();
  ASSERT_GT(cycles, 0);
  std::mt19937_64 random(1);
  for (int cycle = 0; cycle < cycles; ++cycle) {
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      ::close(ends[0]);
      write_until_killed(folder.path(), ends[1]);
    }
    ::close(ends[1]);
    const std::int64_t told = last_told(ends[0], child, 1 + random() % acknowledgements_max);
    ::close(ends[0]);
    int status = 0;
    ASSERT_EQ(::waitpid(child, &status, 0), child);
    ASSERT_TRUE(WIFSIGNALED(status)) << "cycle " << cycle << ", exit " << WEXITSTATUS(status);

    QueueLoop loop;
    const auto store = open_store(folder.path(), loop);
    const auto bench = store->load();
    ASSERT_TRUE(bench) << bench.error().line();
    ASSERT_GT(told, 0);
    EXPECT_GE(bench->last_ticket, told) << "cycle " << cycle;
    EXPECT_EQ(bench->tickets.size(), static_cast<std::size_t>(bench->last_ticket)) << "cycle " << cycle;
    const auto proof = verify_audit(store->path());
    ASSERT_TRUE(proof) << proof.error().line();
    EXPECT_EQ(proof->rows, bench->last_ticket) << "cycle " << cycle;
  }
}

}  // namespace
}  // namespace leadwright
