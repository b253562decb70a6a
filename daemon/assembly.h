// SPDX-License-Identifier: Apache-2.0
// Puts a bench together from its configuration: profiles, procedures, policy, instruments, places. For: main
// (real links, real or scaled time) and rehearsals (memory links, virtual time): the same daemon in both.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "daemon/queue/bench.h"
#include "daemon/settings/settings.h"
#include "drivers/link.h"

namespace leadwright {

inline constexpr const char* software_version = "0.1.0";

/// The configuration with every file that it names, read and checked. Touches no device.
class Plan {
 public:
  /// All mistakes of all files at once.
  static tl::expected<std::unique_ptr<Plan>, std::vector<Error>> read(Settings settings);

  const Settings& settings() const { return settings_; }
  const std::vector<Procedure>& procedures() const { return procedures_; }

  /// A bench with its places, not yet begun. The plan, the clocks and the store must outlive it.
  Result<std::unique_ptr<Bench>> build(Clocks clocks, Store& store, LinkFactory& links) const;

 private:
  using Lines = std::map<std::string, std::shared_ptr<Line>>;  ///< by address
  Result<std::unique_ptr<Instrument>> wire(const std::string& name,
                                           const std::optional<InstrumentSettings>& wanted, Clocks clocks,
                                           LinkFactory& links, Lines& lines) const;
  /// Mistakes that show only when profiles and wiring are seen together.
  void check_wiring(const InstrumentSettings& wanted, std::map<std::string, const Profile*>& first_on_line,
                    std::vector<Error>& errors) const;
  /// Profiles of another role than their use, outputs and inputs that a box does not have.
  void check_roles(const Settings& settings, std::vector<Error>& errors) const;
  const Profile* profile(const std::string& path) const;

  Settings settings_;
  std::vector<std::pair<std::string, std::unique_ptr<Profile>>> profiles_;  ///< by path
  std::vector<Procedure> procedures_;
  Policy policy_;
  PartTable parts_;
  EstimatorSettings estimator_;
  std::vector<DesignCurve> designs_;
};

}  // namespace leadwright
