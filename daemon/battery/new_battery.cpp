// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/new_battery.h"

#include <cmath>
#include <iterator>
#include <utility>

#include "daemon/battery/reserve_capacity.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P: a new battery against its label; M: the formula from RC.
constexpr double u_label_capacity = 0.05;
constexpr double u_capacity_from_rc = 0.15;
constexpr double factor_half_width = 0.05;

struct KnownCapacity {
  Coulomb value;
  double u = 0.0;  ///< relative
  std::string words;
};

std::optional<KnownCapacity> known_capacity(const Nameplate& nameplate) {
  if (nameplate.c20)
    return KnownCapacity{nameplate.c20->value, u_label_capacity, "the label's 20-hour capacity"};
  if (nameplate.reserve_capacity) {
    return KnownCapacity{c20_from_reserve_capacity(nameplate.reserve_capacity->value), u_capacity_from_rc,
                         "a 20-hour capacity from the label's reserve capacity"};
  }
  return std::nullopt;
}

Finding needed(const Finding& soc, const KnownCapacity& capacity, Chemistry chemistry) {
  const double ah = as_ampere_hours(capacity.value);
  const double factor = charge_factor(chemistry);
  Finding finding;
  finding.measurand = Measurand::charge_needed;
  finding.value = (1.0 - soc.value) * ah * factor;
  finding.method = "what is missing to full, times " + fixed(factor, 2) + ", by " + capacity.words;
  finding.conditions = fixed(100.0 * soc.value, 0) + " % charged of " + fixed(ah, 1) + " Ah";
  return with_budget(
      std::move(finding),
      {{"state of charge", fixed(100.0 * soc.u, 1) + " points", soc.u * ah * factor,
        fixed(100.0 * soc.value, 0) + " %", sensitivity_text(0.01 * ah * factor, "Ah/point")},
       {"capacity", fixed(100.0 * capacity.u, 0) + " %", (1.0 - soc.value) * ah * factor * capacity.u,
        fixed(ah, 1) + " Ah", sensitivity_text((1.0 - soc.value) * factor, "Ah/Ah")},
       {"charge factor", fixed(factor_half_width, 2) + " rect.",
        (1.0 - soc.value) * ah * rectangular(factor_half_width), fixed(factor, 2),
        sensitivity_text((1.0 - soc.value) * ah, "Ah")}});
}

}  // namespace

double charge_factor(Chemistry chemistry) {
  return chemistry == Chemistry::agm || chemistry == Chemistry::gel ? 1.04 : 1.10;
}

std::optional<Finding> charge_needed(const Finding& soc, const Nameplate& nameplate) {
  const auto capacity = known_capacity(nameplate);
  if (!capacity) return std::nullopt;
  return needed(soc, *capacity, nameplate.chemistry);
}

Result<Findings> state_new_battery(const FindingRequest& request) {
  FindingRequest part = request;
  part.calculation = "ocv";
  auto findings = state(part);
  if (!findings) return findings;
  part.calculation = "soc";
  auto soc = state(part);
  if (!soc && soc.error().code == Errc::unsupported) return findings;
  if (!soc) return soc;
  const Finding share = soc->findings.front();
  findings->findings.push_back(share);
  // Below the foot of the table it may lack a cell as well as charge.
  if (share.value <= 0.0) return findings;
  if (auto needs = charge_needed(share, request.nameplate)) findings->findings.push_back(std::move(*needs));
  return findings;
}

}  // namespace leadwright
