// SPDX-License-Identifier: Apache-2.0
// Evidence that a test builds up, and the signs that are told of it.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "daemon/grading/signs.h"

namespace leadwright {

class SignsOfEvidence : public testing::Test {
 protected:
  std::vector<SignKind> kinds() const {
    std::vector<SignKind> all;
    for (const Sign& sign : signs_of(evidence, policy)) all.push_back(sign.kind);
    return all;
  }
  std::string told() const {
    std::string all;
    for (const Sign& sign : signs_of(evidence, policy)) all += sign.evidence.text();
    return all;
  }
  using Kinds = std::vector<SignKind>;
  Evidence evidence;
  Policy policy;
};

}  // namespace leadwright
