// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/label_values.h"

#include "daemon/battery/chemistry_limits.h"
#include "daemon/battery/half_cca.h"

namespace leadwright {

Coulomb assumed_capacity(const Nameplate& nameplate) {
  if (nameplate.c20) return nameplate.c20->value;
  if (nameplate.reserve_capacity) return Ampere(25.0) * nameplate.reserve_capacity->value;
  return ampere_hours(40.0);
}

Values label_values(const Nameplate& nameplate, std::optional<Celsius> case_temperature) {
  Values values;
  values.set(Name::cells, nameplate.cells);
  if (nameplate.cca) values.set(Name::cca, nameplate.cca->value.si());
  if (const auto load = cranking_load(nameplate)) values.set(Name::cranking_load, load->amps.si());
  if (nameplate.reserve_capacity) values.set(Name::reserve_capacity, nameplate.reserve_capacity->value.si());
  if (nameplate.c20) values.set(Name::c20, nameplate.c20->value.si());
  values.set(Name::capacity, assumed_capacity(nameplate).si());
  if (case_temperature) values.set(Name::case_temperature, case_temperature->degc());
  const auto limit =
      charge_limit(nameplate.chemistry, nameplate.cells, case_temperature.value_or(Celsius(25.0)));
  if (limit) values.set(Name::charge_volts, limit->si());
  return values;
}

Result<void> fill_values(const RunSubject& subject, Values& values) {
  values = label_values(subject.nameplate, subject.case_temperature);
  const InstrumentReach& reach = subject.reach;
  if (reach.load_amps_max) values.set(Name::load_amps_max, reach.load_amps_max->si());
  if (reach.charger_amps_max) values.set(Name::charger_amps_max, reach.charger_amps_max->si());
  for (const Finding& finding : subject.found) {
    if (finding.measurand == Measurand::ocv) values.set(Name::ocv_found, finding.value);
    if (finding.measurand == Measurand::soc) values.set(Name::soc_found, finding.value);
    if (finding.measurand == Measurand::resistance) values.set(Name::resistance_found, finding.value);
    if (finding.measurand == Measurand::reserve_capacity) {
      values.set(Name::reserve_capacity_found, minutes(finding.value).si());
    }
  }
  return bind_names(subject.procedure, subject.nameplate.chemistry, subject.parameters, values);
}

}  // namespace leadwright
