// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/curve_fit.h"

#include <array>
#include <cmath>

namespace leadwright {
namespace {

// C: chosen on the first halves of the reference groups B and E (tools/bench forecast).
constexpr double independent = 20.0;
// As if every independent sample lay one misfit off: no other valley is looked for.
constexpr double cost_of_a_good_fit = 20.0;
constexpr double share_beyond = 3.0;  // the curve goes on straight; no battery is three times its design
constexpr int rounds_max = 20;

constexpr std::size_t unknowns = 4;
using Unknowns = std::array<double, unknowns>;  // log rate, start, lowered, lowered more towards the end
using Matrix = std::array<Unknowns, unknowns>;

class Problem {
 public:
  Problem(const DesignCurve& curve, const DischargeBins& seen, const FitPrior& prior)
      : curve_(curve),
        bins_(seen.bins()),
        centre_{prior.log_rate, 0.0, prior.lowered.si(), 0.0},
        spread_{prior.sd_log_rate, prior.sd_start, prior.sd_lowered.si(), prior.sd_lowered_more.si()} {
    if (!bins_.empty()) {
      weight_ = independent / static_cast<double>(bins_.size()) / std::pow(prior.misfit.si(), 2);
    }
  }

  double cost(const Unknowns& at) const {
    double sum = 0.0;
    const double rate = std::exp(at[0]) / curve_.time.si();
    for (const DischargeBins::Bin& bin : bins_) {
      const double share = at[1] + rate * bin.at.si();
      const double off = bin.cell.si() - curve_.at(share).volts.si() + at[2] + at[3] * share;
      sum += weight_ * off * off;
    }
    for (std::size_t i = 0; i < unknowns; ++i) sum += std::pow((at[i] - centre_[i]) / spread_[i], 2);
    return sum;
  }

  /// Normal equations of one step: curvature x step = pull.
  void linearise(const Unknowns& at, Matrix& curvature, Unknowns& pull) const {
    curvature = {};
    pull = {};
    const double rate = std::exp(at[0]) / curve_.time.si();
    for (const DischargeBins::Bin& bin : bins_) {
      const double gone = rate * bin.at.si();
      const double share = at[1] + gone;
      const DesignCurve::Point point = curve_.at(share);
      const double off = bin.cell.si() - point.volts.si() + at[2] + at[3] * share;
      const double fall = point.per_share.si() - at[3];
      const Unknowns slope{fall * gone, fall, -1.0, -share};
      for (std::size_t i = 0; i < unknowns; ++i) {
        pull[i] += weight_ * slope[i] * off;
        for (std::size_t j = 0; j < unknowns; ++j) curvature[i][j] += weight_ * slope[i] * slope[j];
      }
    }
    for (std::size_t i = 0; i < unknowns; ++i) {
      curvature[i][i] += 1.0 / (spread_[i] * spread_[i]);
      pull[i] -= (at[i] - centre_[i]) / (spread_[i] * spread_[i]);
    }
  }

  const Unknowns& centre() const { return centre_; }

 private:
  const DesignCurve& curve_;
  std::span<const DischargeBins::Bin> bins_;
  Unknowns centre_;
  Unknowns spread_;
  double weight_ = 0.0;
};

/// Of a symmetric positive definite matrix, by Gauss and Jordan: no pivot of one is zero.
Matrix inverse(Matrix m) {
  Matrix result{};
  for (std::size_t i = 0; i < unknowns; ++i) result[i][i] = 1.0;
  for (std::size_t pivot = 0; pivot < unknowns; ++pivot) {
    const double scale = 1.0 / m[pivot][pivot];
    for (std::size_t j = 0; j < unknowns; ++j) {
      m[pivot][j] *= scale;
      result[pivot][j] *= scale;
    }
    for (std::size_t row = 0; row < unknowns; ++row) {
      const double factor = m[row][pivot];
      if (row == pivot || factor == 0.0) continue;
      for (std::size_t j = 0; j < unknowns; ++j) {
        m[row][j] -= factor * m[pivot][j];
        result[row][j] -= factor * result[pivot][j];
      }
    }
  }
  return result;
}

Unknowns times(const Matrix& m, const Unknowns& v) {
  Unknowns result{};
  for (std::size_t i = 0; i < unknowns; ++i)
    for (std::size_t j = 0; j < unknowns; ++j) result[i] += m[i][j] * v[j];
  return result;
}

/// Levenberg's damping: a step that makes it worse is tried again, shorter.
double descend(const Problem& problem, Unknowns& at) {
  double best = problem.cost(at);
  double damping = 1e-3;
  Matrix curvature;
  Unknowns pull;
  for (int round = 0; round < rounds_max; ++round) {
    problem.linearise(at, curvature, pull);
    bool better = false;
    double gained = 0.0;
    for (; damping < 1e6 && !better; damping *= 10.0) {
      Matrix damped = curvature;
      for (std::size_t i = 0; i < unknowns; ++i) damped[i][i] *= 1.0 + damping;
      const Unknowns step = times(inverse(damped), pull);
      Unknowns next = at;
      for (std::size_t i = 0; i < unknowns; ++i) next[i] += step[i];
      const double cost = problem.cost(next);
      better = cost <= best;
      if (!better) continue;
      gained = best - cost;
      at = next;
      best = cost;
    }
    if (!better || gained < 1e-4) break;
    damping /= 100.0;
  }
  return best;
}

double end_of(const DesignCurve& curve, const Unknowns& at, Volt cutoff) {
  const auto is_above = [&](double share) {
    return curve.at(share).volts.si() - at[2] - at[3] * share > cutoff.si();
  };
  double above = at[1];
  double below = share_beyond;
  if (!is_above(above)) return 0.0;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (above + below);
    (is_above(middle) ? above : below) = middle;
  }
  return (above - at[1]) / std::exp(at[0]) * curve.time.si();
}

double spread_of_end(const DesignCurve& curve, const Unknowns& at, const Matrix& covariance, Volt cutoff) {
  const double end = end_of(curve, at, cutoff);
  Unknowns slope;
  for (std::size_t i = 0; i < unknowns; ++i) {
    const double step = 0.05 * std::sqrt(covariance[i][i]);
    Unknowns moved = at;
    moved[i] += step;
    slope[i] = (end_of(curve, moved, cutoff) - end) / step;
  }
  const Unknowns carried = times(covariance, slope);
  double variance = 0.0;
  for (std::size_t i = 0; i < unknowns; ++i) variance += slope[i] * carried[i];
  return std::sqrt(std::max(0.0, variance));
}

}  // namespace

CurveFit fit_curve(const DesignCurve& curve, const DischargeBins& seen, const FitPrior& prior,
                   Volt cell_cutoff) {
  const Problem problem(curve, seen, prior);
  // Far from the answer the cost has more than one valley: three starts, new, worn and nearly finished.
  constexpr std::array<Unknowns, 3> starts{
      {{0.0, 0.0, 0.0, 0.0}, {0.7, 0.0, 0.02, 0.0}, {1.4, 0.0, 0.04, 0.0}}};
  Unknowns best = problem.centre();
  if (!seen.bins().empty()) {
    double least = HUGE_VAL;
    for (Unknowns at : starts) {
      const double cost = descend(problem, at);
      if (cost >= least) continue;
      least = cost;
      best = at;
      if (least < cost_of_a_good_fit) break;
    }
  }
  Matrix curvature;
  Unknowns pull;
  problem.linearise(best, curvature, pull);
  CurveFit fit;
  fit.rate = std::exp(best[0]);
  fit.start = best[1];
  fit.lowered = Volt(best[2]);
  fit.lowered_more = Volt(best[3]);
  fit.end = Second(end_of(curve, best, cell_cutoff));
  fit.u_end = Second(spread_of_end(curve, best, inverse(curvature), cell_cutoff));
  return fit;
}

Volt expected_at(const DesignCurve& curve, const CurveFit& fit, Second at) {
  const double share = fit.start + fit.rate * (at / curve.time);
  return curve.at(share).volts - fit.lowered - fit.lowered_more * share;
}

}  // namespace leadwright
