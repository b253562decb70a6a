// SPDX-License-Identifier: Apache-2.0
// Instruments and their links as JSON, for the API and the page. Thread: control. Never: asks an instrument.
#pragma once

#include <cstdint>
#include <string>

#include "daemon/place/place.h"

namespace leadwright {

/// `place` is empty for what belongs to no place, and then null.
/// {"name","place","role","profile","link","state","since","off_within_s","traced",
/// "identity":{"maker","model","serial","firmware"},
/// "counters":{"exchanges","retries","time_outs","garbles","reopenings"},"replies":{"count",
/// "p50_s","p50_from_s","p50_to_s","p99_s","p99_from_s","p99_to_s","worst_s"},
/// "trouble":{"at","what"}}. What is not known is null: the identity before the first answer, percentiles
/// before the first reply, trouble as long as there was none. A percentile lies above "from" and not above
/// "to"; times are of the machine, "since" and "at" of the bench.
std::string instrument_json(const std::string& place, const InstrumentWatch& watch);

/// The few words that the page needs twice a second: {"name","role","state","since","trouble","exchanges"};
/// "trouble" is null while the instrument is ready.
std::string instrument_words_json(const InstrumentWatch& watch);

/// {"instrument","link","on","oldest","newest","lines":[{"number","at","machine_s","way","text","hex",
/// "length"}]}: the lines of the trace after `number`. "way" is out, in or note. Either "text" or "hex" is
/// null; "length" is in bytes, larger than what is shown where a line was cut. "machine_s" counts from when
/// the trace was first switched on.
std::string wire_trace_json(const InstrumentWatch& watch, std::uint64_t number);

}  // namespace leadwright
