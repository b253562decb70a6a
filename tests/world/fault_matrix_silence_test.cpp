// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix in which no usable answer comes any more: silence, an answer without end, rubbish,
// a meter that is beyond its range.
#include "tests/world/fault_matrix.h"

namespace leadwright {
namespace {

using namespace fault_matrix;

class FaultMatrixSilence : public FaultMatrixOnBoth {
 protected:
  /// The deadman trips when the last good reading is as old as the profile allows; then off goes out.
  Second draw_bound() const { return load_fresh + off_within() + bytes_time; }
  Second charge_bound() const { return charger_fresh + off_within() + bytes_time; }
  Cable& load_cable() { return world->cable("bay-1.load"); }
  Cable& charger_cable() { return world->cable("bay-1.charger"); }
};

TEST_P(FaultMatrixSilence, no_answer_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load().set_fault(SimFault::no_answer, true);
    expect_safe_within(draw_bound());
    expect_tripped("no good reading for 1.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, no_answer_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger().set_fault(SimFault::no_answer, true);
    expect_safe_within(charge_bound());
    expect_tripped("no good reading for 2.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, endless_answer_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load_cable().strike(CableFault::endless());
    expect_safe_within(draw_bound());
    expect_tripped("no good reading for 1.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, endless_answer_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger_cable().strike(CableFault::endless());
    expect_safe_within(charge_bound());
    expect_tripped("no good reading for 2.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, binary_rubbish_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load_cable().strike(CableFault::rubbish(40).in_a_row(0));
    expect_safe_within(draw_bound());
    expect_tripped("no good reading for 1.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, binary_rubbish_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger_cable().strike(CableFault::rubbish(40).in_a_row(0));
    expect_safe_within(charge_bound());
    expect_tripped("no good reading for 2.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, overload_value_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load().set_fault(SimFault::overload, true);
    expect_safe_within(draw_bound());
    expect_tripped("no good reading for 1.0 s while energised; off could not be verified");
  });
}

TEST_P(FaultMatrixSilence, overload_value_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger().set_fault(SimFault::overload, true);
    expect_safe_within(charge_bound());
    expect_tripped("no good reading for 2.0 s while energised; off could not be verified");
  });
}

INSTANTIATE_TEST_SUITE_P(FaultMatrix, FaultMatrixSilence, testing::Values(SimSpeech::scpi, SimSpeech::modbus),
                         speech_name);

}  // namespace
}  // namespace leadwright
