// SPDX-License-Identifier: Apache-2.0
// English: the phrases of the bench's sentences, "said.code". They follow each other as they stand.
export const words = {
  "said.above_least": "{volts} above the least voltage",
  "said.against": " against ",
  "said.amount_ah": "{amount} of 20-hour capacity (± {u}, k = 2",
  "said.amount_min": "{amount} of reserve capacity (± {u}, k = 2",
  "said.at_cranking_load": "; at cranking load ",
  "said.at_least_ah": "at least {amount} of 20-hour capacity, where it was stopped,",
  "said.at_least_min": "at least {amount} of reserve capacity, where it was stopped,",
  "said.below_least": "{volts} below the least voltage",
  "said.bracket": ")",
  "said.bracket_end": ").",
  "said.bracket_open": " (",
  "said.but_falls": "; but at rest it falls by {falls} a day: it discharges itself.",
  "said.but_falls_to": "; but falls to ",
  "said.but_falls_too_near":
      "; but at rest it falls by {falls} a day, too near to {limit} a day to decide.",
  "said.but_not_watched": "; but nobody saw whether it keeps its charge.",
  "said.c_at_most": ", so C at most",
  "said.clamps_anew": ", with both clamps set anew",
  "said.conforms": ": conforms",
  "said.counted_from_made": "No date of sale, so counted from its date code {made}",
  "said.credit": "credit of {share} of the price, {left} of {total} months being left.",
  "said.credit_free": "within the free period of {free} months: replaced at no charge.",
  "said.credit_none": "past the {total} months of warranty: no credit.",
  "said.does_not_conform": ": does not conform",
  "said.earns_later": "what it earns waits for the grade.",
  "said.falls_to": "Falls to ",
  "said.faulty": "Faulty: ",
  "said.flag_age_unknown": "Its age is unknown: no date code was read.",
  "said.flag_en_step":
      "EN knows no rating of {rated} ({below} and {above} are): another standard, or a misreading.",
  "said.flag_exponent":
      "The label's 20-hour and reserve capacity give a rate exponent of {exponent}, which no lead " +
      "battery has: read the label again.",
  "said.flag_put_back_little":
      "Its charge put back only {times} of what the discharge before it took: it is not full, or a clamp " +
      "ended the charge early.",
  "said.flag_put_back_much":
      "Its charge put back {times} times what the discharge before it took, more than is usual: it makes " +
      "gas, or loses its charge.",
  "said.flag_frost":
      "With {charge} of its charge its acid begins to freeze at about {freezes}: charge it before it " +
      "stands in the cold.",
  "said.flag_gain": "Its conditioning cycle changed its reserve capacity from {before} to {after}",
  "said.flag_gain_none": ", no more than two tests of one battery differ.",
  "said.flag_monitor_charge":
      "The vehicle's monitor reported {reported} of charge, the bench found {found}: it knows another " +
      "battery, or something drew on this one since.",
  "said.flag_monitor_degrees":
      "The vehicle's monitor reported {reported}, the bench found {found}: look at the monitor's own " +
      "sensor.",
  "said.flag_monitor_did_not_take":
      "The vehicle's monitor counts {counts}, but was told of a change only {since} ago: it did not take " +
      "it, and charges this battery as the one before.",
  "said.flag_monitor_not_told":
      "The vehicle's monitor counts {counts}, but this battery was made {since} ago: it was not told of " +
      "the change.",
  "said.flag_monitor_reset":
      "The vehicle's monitor was last told of a change on {told}, before this battery was made ({made}): " +
      "it still knows the one before.",
  "said.flag_old": "Made {months} months ago; this policy calls nothing new after {oldest}.",
  "said.flag_receipt": "Receipt {receipt} was shown before, with another battery.",
  "said.flag_resistance": "A resistance of {resistance} does not belong to a label of {rated}: ",
  "said.flag_resistance_high":
      "more than twice what is usual. Look at clamps and posts first, then at the label.",
  "said.flag_resistance_low": "less than half of what is usual. Is this the battery of this label?",
  "said.flag_shelf":
      "It came with {charge} of its charge; {months} months on a shelf alone would leave about " +
      "{expected}: ask where it stood and what drew on it, and watch it at rest.",
  "said.flag_sold_before_made":
      "Sold on {sold}, before it was made ({made}): read the date code and the receipt again.",
  "said.flag_sold_in_future": "The date of sale, {sold}, lies in the future.",
  "said.full_stop": ".",
  "said.gives": "Gives ",
  "said.gives_only": "Gives only ",
  "said.has_a_fault": "it has a fault",
  "said.has_fails_under_load": "it collapses below its cranking load",
  "said.has_not_lead": "it does not behave like a lead battery",
  "said.has_open_circuit": "a connection is broken",
  "said.has_reversed": "its poles are reversed",
  "said.has_shorted_cell": "a cell is shorted",
  "said.has_takes_no_charge": "it takes no charge",
  "said.has_unsafe": "it is unsafe",
  "said.has_wrong_cell_count": "its voltage does not fit the number of cells",
  "said.holds": "Holds ",
  "said.is_cracked": "its case is cracked",
  "said.is_frozen": "it is frozen",
  "said.is_leaking": "it leaks",
  "said.is_swollen": "its case is swollen",
  "said.keeps_charge": "; keeps its charge on the shelf.",
  "said.lies": "Lies ",
  "said.lies_too_near": ", too near to it to decide; ",
  "said.limit_by_forecast": "by forecast, not measured: limit of C",
  "said.limit_of": "limit of {letter}",
  "said.load_rule": "load test at half the CCA, above the least voltage",
  "said.load_rule_by_ah": "load test at 3 A for each Ah, above the least voltage",
  "said.load_rule_usual":
      "the same load test reckoned for half the cranking current usual for its Ah, above the least voltage",
  "said.mean_of": ", mean of {count} tests",
  "said.meets_rating": ": it meets its rating",
  "said.minutes_not_measured": "its minutes were not measured",
  "said.next_at_room_temperature": "The same test at room temperature decides.",
  "said.next_cca":
      "Its cranking current, by its maker's list or another label of its kind, and a load test at half of " +
      "it decide.",
  "said.next_conditioning": "A conditioning cycle, then the same test, decides.",
  "said.next_draw_decides": "Its minutes are good enough for more; a draw at cranking current decides.",
  "said.next_full_charge": "A full charge, then the same test, decides.",
  "said.next_load_again": "A second load test after a full charge and a rest costs some minutes.",
  "said.next_looks_apart": "Looks further apart, at the same meter, make it surer.",
  "said.next_minutes": "It measures what the label promises.",
  "said.next_never_empties": "This policy empties no battery; the load test takes some minutes.",
  "said.next_not_agreed":
      "The owner has not agreed to a complete discharge; the load test needs no consent.",
  "said.next_once_more":
      "One more test after a full charge brings the standard uncertainty from {from} to {to}.",
  "said.next_one_cycle": "One cycle, then the same test, decides.",
  "said.next_own_current":
      "Most of the doubt is in the derived rating, which a test at the rating's own current does not " +
      "need.",
  "said.next_second_life":
      "The letter stands; its minutes would tell whether it is good for something else.",
  "said.next_thermometer": "The same test with a thermometer decides.",
  "said.next_two_looks":
      "It came flat and nothing else is wrong with it: two looks at it on the shelf tell why.",
  "said.next_whole_discharge": "The whole discharge decides.",
  "said.next_with_consent":
      "It measures what the label promises; the owner must agree to a complete discharge.",
  "said.no_credit": "no credit: it is not shown to be worn or faulty.",
  "said.no_lead_holds": ": no lead battery of {cells} cells holds that",
  "said.no_minutes": "Not graded: its reserve capacity was not measured.",
  "said.no_rated_minutes": "its label states no minutes",
  "said.no_rating":
      ", but its label states neither reserve capacity nor 20-hour capacity to compare with.",
  "said.no_temperature": "Not graded: the temperature of the reserve capacity test was not measured.",
  "said.not_cranked": "; not tested at cranking load",
  "said.not_tested_because": "Not tested, because ",
  "said.perhaps_not_lead":
      "Not tested: its label does not say that it is a lead battery, and nothing else is energised here.",
  "said.probability": "; conformance probability {p}",
  "said.probability_above": "; conformance probability above 0.9999",
  "said.probability_below": "; conformance probability below 0.0001",
  "said.rated": "the rated {rated}",
  "said.rated_by_size": "the {rated} that this policy asks of its size",
  "said.rated_derived": "about {derived} derived from the rated {rated}",
  "said.rest_rule": "change at rest at 20 °C, in a day",
  "said.rule_deep_discharged":
      "lowest voltage at rest {came}, deep discharge below {limit}, and no conditioning cycle before the " +
      "test",
  "said.rule_discharged": "state of charge before the test {charge}, least to test with {least}",
  "said.rule_fault": "fault {fault}: ",
  "said.rule_inspection": "inspection: ",
  "said.rule_load_alone":
      "a load test that passes shows that it cranks and says nothing of its minutes: this policy asks " +
      "for both",
  "said.rule_load_undecided": "the load test lies nearer to its limit than its guard band",
  "said.rule_no_cca": "a load smaller than half its cranking current may be has shown too little",
  "said.rule_no_draw": "no high-rate draw was made: this policy gives no A or B without one",
  "said.rule_not_full":
      "a completed charge before the capacity test, and nothing drawn in between: not shown",
  "said.rule_not_watched":
      "keeps its charge: not watched, though a chance of {chance} that it does not, times {wrong} for a " +
      "wrong verdict, is more than {costs} for two looks",
  "said.rule_numbers": ": {limit}; value {value}, u {u}, guard band {guard_band}",
  "said.rule_too_cold": "temperature of the test {at}, at least {limit}",
  "said.rule_too_warm": "temperature of the test {at}, at most {limit}",
  "said.rule_too_young": "age {days} days, least to fail {least} days",
  "said.rule_unsafe": ", so it is unsafe to energise",
  "said.second_life_rule": "second life from {share} of the rating",
  "said.seen_at_rest": "{volts} at rest",
  "said.seen_broken":
      ", but {volts} under a light draw: a connection inside is broken, unless the clamp has no contact",
  "said.seen_cell_missing":
      ", and {volts} under {amps}: about one cell's voltage is missing and the rest holds",
  "said.seen_drawn": ", {volts} under a light draw",
  "said.seen_no_voltage": ": there is no voltage at the posts",
  "said.seen_ocv": "{volts} open circuit",
  "said.seen_reversed": ": the poles are reversed",
  "said.seen_six_cells": " is too much for three cells: count the cells",
  "said.seen_three_cells": " is what three cells show, not six: count the cells",
  "said.service_in_future": "Months in service not counted: the date lies in the future.",
  "said.service_month": ": {months} month in service, ",
  "said.service_months": ": {months} months in service, ",
  "said.service_sold_before_made":
      "Months in service not counted: the date of sale lies before the date code.",
  "said.service_unknown": "Months in service unknown: neither a date of sale nor a date code was given.",
  "said.serviceable": ": serviceable",
  "said.set_by_persons": "Set to {letter} by two persons: {why} (The bench's own letter is {own}: ",
  "said.sign_falls":
      "At rest it falls by {falls} a day, more than the {most} of a sound one: it discharges itself.",
  "said.sign_resistive":
      "It is full, and its resistance is {times} times the highest that is usual for its cranking " +
      "current: clamps and posts apart, its grids or straps are corroded, or acid is missing.",
  "said.sign_sulphated":
      "After a finished charge it rests at only {charge} and its resistance is {times} times the highest " +
      "that is usual for its cranking current: its plates are sulphated.",
  "said.sign_three_minutes":
      "In the three-minute charge its voltage rose {volts} above what a sound battery shows: its plates " +
      "are sulphated.",
  "said.sold": "Sold {sold}",
  "said.sound": ": sound",
  "said.sound_cranking": ": sound at cranking load; ",
  "said.stands_low": " and still stands at only {volts}: a cell is shorted or reversed",
  "said.stopped_by_forecast":
      "Was stopped after {after} because by forecast, not by measurement, it gives about {about} of " +
      "reserve capacity against ",
  "said.stopped_early": ": stopped too early to decide",
  "said.too_near": ", too near to decide",
  "said.too_near_to_c": ", too near to the limit of what is serviceable to decide with this uncertainty",
  "said.took": "took {taken} in {lasted}",
  "said.took_at_limit": "took {taken} in {lasted} at the charge limit",
  "said.undecided": ": undecided",
  "said.under_ah_load": " at 15 s under 3 A for each Ah",
  "said.under_half_cca": " at 15 s under half its cranking current",
  "said.usual_may_fail":
      ", but perhaps too little at half the cranking current usual for its Ah, which its label does not " +
      "state",
  "said.was_deep_discharged":
      "Not failed yet: it came in at {came}, so deeply discharged that one conditioning cycle comes " +
      "before a verdict.",
  "said.was_discharged":
      "Not graded: it was only {charge} charged when it was tested; charge it, rest it and test it again.",
  "said.was_perhaps_not_full":
      "Not graded: nothing shows that it was full when its capacity was tested; charge it, rest it and " +
      "test it again.",
  "said.was_too_cold":
      "Not graded: it was at {at} during the test, colder than the {limit} up to which a correction can " +
      "be defended; bring it to room temperature and test it again.",
  "said.was_too_warm":
      "Not graded: it was at {at} during the test, warmer than the {limit} up to which a correction can " +
      "be defended; bring it to room temperature and test it again.",
  "said.was_too_young":
      "Not failed: it was made {days} days ago, and its plates are formed to the end only after {least} " +
      "days and some cycles.",
  "said.when_cranking": " at cranking load",
  "said.words": "{words}",
  "said.worn": ": worn",
  "said.worn_at_last": ": worn",
  "said.worn_by_load": ": worn; ",
  "unit.day": "day",
  "unit.days": "days",
  "unit.mohm": "mΩ",
};
