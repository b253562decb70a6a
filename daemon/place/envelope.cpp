// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/envelope.h"

#include <algorithm>

#include "daemon/battery/chemistry_limits.h"
#include "daemon/place/gas_off.h"
#include "daemon/place/label_values.h"
#include "daemon/procedure/expression_words.h"

namespace leadwright {

namespace {

/// Charging without end, whatever a file says. P; as the shipped charges have it: F (one manual), 2 x RC with
/// minutes read as ampere-hours.
constexpr double overcharge_share = 2.0;
constexpr Coulomb overcharge_least = ampere_hours(120.0);

/// Value of an optional limit; an error if it is stated but needs a datum that is missing.
Result<std::optional<double>> value_of(const std::optional<Expression>& limit, const Values& values,
                                       const std::string& file) {
  if (!limit) return std::nullopt;
  const std::optional<double> value = limit->evaluate(values);
  if (!value) return tl::unexpected<Error>(lacks_datum(*limit, values, file));
  return value;
}

template <class Q>
void tighten_max(Q& limit, std::optional<double> other) {
  if (other) limit = std::min(limit, Q(*other));
}

/// The tightest of all limits; `file` holds those of the procedure.
Result<Envelope> envelope_within(const EnvelopeLimits& limits, const std::string& file,
                                 const Nameplate& nameplate, const Values& values,
                                 const InstrumentReach& reach) {
  const Result<EnvelopeOfChemistry> hard = envelope_of(nameplate.chemistry, nameplate.cells);
  if (!hard) return tl::unexpected<Error>(hard.error());
  Envelope envelope;
  envelope.volts_min = hard->volts_min;
  envelope.volts_max = hard->volts_max;
  envelope.case_min = hard->case_min;
  envelope.case_max = hard->case_max;
  // Room above a setpoint for the meter's error and for overshoot: 2 % and 0.5 A (common practice, no
  // source).
  const Ampere reach_max =
      std::max(reach.load_amps_max.value_or(Ampere(0.0)), reach.charger_amps_max.value_or(Ampere(0.0)));
  envelope.amps_max = reach_max * 1.02 + Ampere(0.5);
  envelope.charge_max = ampere_hours(400.0);
  envelope.time_max = hours(120.0);

  const auto volts_min = value_of(limits.volts_min, values, file);
  const auto volts_max = value_of(limits.volts_max, values, file);
  const auto amps_max = value_of(limits.amps_max, values, file);
  const auto case_min = value_of(limits.case_min, values, file);
  const auto case_max = value_of(limits.case_max, values, file);
  const auto charge_max = value_of(limits.charge_max, values, file);
  const auto time_max = value_of(limits.time_max, values, file);
  for (const auto* value :
       {&volts_min, &volts_max, &amps_max, &case_min, &case_max, &charge_max, &time_max}) {
    if (!*value) return tl::unexpected<Error>(value->error());
  }
  if (*volts_min) envelope.volts_min = std::max(envelope.volts_min, Volt(**volts_min));
  if (*case_min) envelope.case_min = std::max(envelope.case_min, Celsius(**case_min));
  if (*case_max) envelope.case_max = std::min(envelope.case_max, Celsius(**case_max));
  tighten_max(envelope.volts_max, *volts_max);
  tighten_max(envelope.amps_max, *amps_max);
  tighten_max(envelope.charge_max, *charge_max);
  tighten_max(envelope.time_max, *time_max);

  if (envelope.volts_min >= envelope.volts_max || envelope.case_min >= envelope.case_max) {
    return fail(Errc::bad_input, "the limits leave nothing between minimum and maximum", file,
                "correct [limits] of the procedure");
  }
  return envelope;
}

/// A reading against its limit, as a person reads them.
struct Breach {
  double value;
  double limit;
  int decimals;
  const char* unit;
};

Sentence below(const Breach& found) {
  return say("below_limit", "{value} is below the limit of {limit}",
             {said_amount("value", found.value, found.decimals, found.unit),
              said_amount("limit", found.limit, found.decimals, found.unit)});
}

Sentence above(const Breach& found) {
  return say("above_limit", "{value} is above the limit of {limit}",
             {said_amount("value", found.value, found.decimals, found.unit),
              said_amount("limit", found.limit, found.decimals, found.unit)});
}

}  // namespace

Result<std::vector<Envelope>> envelopes_for(const Procedure& procedure, const Nameplate& nameplate,
                                            Values values, const InstrumentReach& reach) {
  std::vector<Envelope> all;
  for (std::size_t index = 0; index < procedure.frames.size(); ++index) {
    const Frame& frame = procedure.frames[index];
    EnvelopeLimits limits = frame.limits;
    if (index > 0) {
      limits.charge_max.reset();
      limits.time_max.reset();
    }
    values.enter(index);
    Result<Envelope> own = envelope_within(limits, procedure.file, nameplate, values, reach);
    if (!own) return tl::unexpected<Error>(own.error());
    if (charges(procedure)) {
      const Coulomb filled = assumed_capacity(nameplate) * overcharge_share;
      own->charge_max = std::min(own->charge_max, std::max(filled, overcharge_least));
    }
    if (index > 0) {
      const Envelope& caller = all[frame.parent];
      own->volts_min = std::max(own->volts_min, caller.volts_min);
      own->volts_max = std::min(own->volts_max, caller.volts_max);
      own->amps_max = std::min(own->amps_max, caller.amps_max);
      own->case_min = std::max(own->case_min, caller.case_min);
      own->case_max = std::min(own->case_max, caller.case_max);
      own->charge_max = caller.charge_max;
      own->time_max = caller.time_max;
    }
    all.push_back(*own);
  }
  return all;
}

std::optional<Sentence> breach(const Envelope& envelope, const Sample& sample, Energy energy, Coulomb moved) {
  if (energy == Energy::draw && sample.volts && *sample.volts < envelope.volts_min) {
    return below({sample.volts->si(), envelope.volts_min.si(), 3, "V"});
  }
  if (energy == Energy::charge && sample.volts && *sample.volts > envelope.volts_max) {
    return above({sample.volts->si(), envelope.volts_max.si(), 3, "V"});
  }
  if (energy != Energy::none && sample.amps && abs(*sample.amps) > envelope.amps_max) {
    return above({abs(*sample.amps).si(), envelope.amps_max.si(), 3, "A"});
  }
  if (energy != Energy::none && sample.temperature && *sample.temperature > envelope.case_max) {
    return above({sample.temperature->degc(), envelope.case_max.degc(), 1, "degC"});
  }
  if (energy == Energy::charge && sample.temperature && *sample.temperature < envelope.case_min) {
    return below({sample.temperature->degc(), envelope.case_min.degc(), 1, "degC"});
  }
  if (abs(moved) > envelope.charge_max) {
    return above({as_ampere_hours(abs(moved)), as_ampere_hours(envelope.charge_max), 1, "Ah"});
  }
  if (sample.at > envelope.time_max) {
    return say("run_too_long", "the run is longer than its limit of {limit}",
               {said_amount("limit", as_hours(envelope.time_max), 1, "h")});
  }
  return std::nullopt;
}

}  // namespace leadwright
