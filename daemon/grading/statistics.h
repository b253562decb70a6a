// SPDX-License-Identifier: Apache-2.0
// How far a count of verdicts can be believed: an interval for a share, and a sequential test. Pure; any
// thread. Shared domain notes, section 11.
#pragma once

namespace leadwright {

/// Both ends of an interval of a share, 0..1.
struct ShareInterval {
  double low = 0.0;
  double high = 1.0;
};

/// Wilson's interval for `hits` of `trials` at z standard deviations on both sides (1.959964 for 95
/// %, 1.644854 for 90 %): it keeps its width where nothing or everything was hit. All of 0..1 without trials.
ShareInterval wilson_interval(int hits, int trials, double z);

/// Errors that are allowed: alpha, that the better hypothesis is rejected; beta, that the worse one is
/// accepted.
struct AllowedErrors {
  double alpha = 0.05;
  double beta = 0.05;
};

/// Wald's sequential test of two hypotheses by the logarithm of their likelihood ratio. Nominal bounds for
/// independent observations only: the samples of one discharge are none.
struct WaldBounds {
  double reject;  ///< at or above: the worse hypothesis
  double accept;  ///< at or below: the better one
};
WaldBounds wald_bounds(const AllowedErrors& errors);

/// The same test for shares p1 < p2 of hits, as lines over the number of trials: better at or below
/// slope n - accept, worse at or above slope n + reject.
struct WaldLines {
  double accept = 0.0;  ///< h1
  double reject = 0.0;  ///< h2
  double slope = 0.0;
};
struct TwoShares {
  double better;
  double worse;
};
WaldLines wald_lines(const TwoShares& shares, const AllowedErrors& errors);

/// Likelihood of these trials with the worse share over that with the better one.
double likelihood_ratio(const TwoShares& shares, int hits, int trials);

}  // namespace leadwright
