// SPDX-License-Identifier: Apache-2.0
// English: the phrases of what goes on: trips, questions of a place, ends of runs, states, what comes next.
export const words = {
  "said.above_limit": "{value} is above the limit of {limit}",
  "said.ah_at_volts": "{ah} at {volts}",
  "said.airflow_not_declared":
      "the airflow of this bench is not declared: this charge needs {airflow} of fresh air",
  "said.and_then": "; ",
  "said.another_was_clamped": "another battery was clamped at {place}: find this one",
  "said.attempts_exhausted": "{count} attempts at the {procedure} did not complete; the last one: ",
  "said.attended_only":
      "attended only: stay while it is energised, and say so every half hour when it asks",
  "said.battery_moved": "its battery was moved",
  "said.below_limit": "{value} is below the limit of {limit}",
  "said.bench_time_runs":
      "bench time runs {scale} times as fast: a reading counts for {time} of it",
  "said.cells_against_volts": "the label says {cells} cells but the battery reads {volts}",
  "said.cells_not_known": "the number of cells is not known",
  "said.charge_current_ended": "the charge current ended at once: check the clamps, then the charger",
  "said.charge_current_lost":
      "the charge current fell from {from} to {to} at once, which no battery does: check the clamps " +
      "first, then the charger",
  "said.charge_ends_early": "; through a bad clamp a charge ends early",
  "said.charge_first": "charge it first: it begins with a probe of 1 A",
  "said.charge_volts_fall":
      "the voltage fell from {from} to {to} within {time} while {amps} went in: a cell shorts, or " +
      "the battery runs hot",
  "said.charged_in_vain": "a charge has ended and it rests far below full",
  "said.charger_reads_low":
      "{volts} while charging a battery that rested at {rested}: check the range and the sense leads " +
      "of the charger",
  "said.check_post_marks":
      "check the clamps by the post marks; if they are right the battery was charged backwards: do " +
      "not charge it",
  "said.check_sense_and_range": "check the sense leads and the range",
  "said.clamp_by_marks":
      "clamp the battery on; if it is on, look at the marks of its posts, and confirm only if the " +
      "red clamp is on the post marked +",
  "said.clamp_steps":
      "the voltage stepped from {from} to {to} at a constant {amps}, {resistance} at a clamp: clean " +
      "and reseat the clamps, then suspect a joint inside",
  "said.clamps_then_joint": ": check the clamps first, then suspect an open joint inside",
  "said.close_the_shield":
      "close the shield over the battery and its clamps, stand back, then confirm: the shield is closed",
  "said.collapsed": "the voltage collapsed from {from} to {to} at {amps}",
  "said.colon": ": ",
  "said.comma_share": ", {share} of ",
  "said.confirm_presence":
      ": confirm within {minutes} minutes that somebody is there, or what is energised at {place} is " +
      "switched off",
  "said.contacts_doubted": "the contacts to the battery can't be trusted: ",
  "said.contacts_stay": "the contacts to the battery did not open: ",
  "said.count_and_correct": "count the cells and correct the nameplate",
  "said.count_and_enter": "count the cells (filler caps or the label) and enter the number",
  "said.current_flows": "current flows though nothing runs: ",
  "said.current_strays": "the current is {amps} where {set} is set",
  "said.cut_off_at_once":
      "the load cut off at once from {volts}: check the clamps, a battery does not fall so fast",
  "said.cut_off_before": "the load cut off at {volts} before it drew {amps}",
  "said.cut_off_ramping": "the load cut off at {amps} of its ramp",
  "said.cut_off_unset": "the load cut off though no cut-off was set: check the load",
  "said.cut_off_when_flat":
      "the load cut off at {amps}: it rested at {rested}, hardly above the cut-off of {cut_off}: " +
      "check the clamps, then charge it first",
  "said.did_so_before": ", and did so before a person had reseated the clamps",
  "said.does_not_go_on": "the daemon stopped during this run, and it does not go on: ",
  "said.doubtful_as_a_clamp":
      "it lies too near to the least under load to decide, as in a bad clamp",
  "said.dropped_off": "dropped off",
  "said.ended_at_once": "the {procedure} ended at once: ",
  "said.every_step_ended": "every step ended",
  "said.fails_as_a_clamp": "it fails under load, and a bad clamp looks the same",
  "said.fault_proven": "a fault is proven: ",
  "said.find_and_acknowledge": ": find the cause, then acknowledge the trip",
  "said.find_out_chemistry":
      "find out the chemistry from the label; only lead batteries may be tested here, and no role " +
      "can override this",
  "said.flat_or_broken":
      "its voltage collapsed, which an empty battery does and a broken joint as well",
  "said.gap_too_long": ", longer than the {limit} after which it may go on: {gap} ago",
  "said.gap_unknown": ", and the machine was started anew or its date was set: nobody knows how long ago",
  "said.gas_has_not_gone":
      "do not unclamp until {until}, {minutes} min from now: the gas of the charge has not gone",
  "said.goes_on_after": "{procedure} at {place} after an interruption of {gap}",
  "said.had_found_fault": ", and it had found a fault",
  "said.half_its_cca": "half its CCA",
  "said.held_long_enough": "the day until which it was held has come",
  "said.held_until": "held until {until}",
  "said.instrument_restarted": "{instrument} was restarted: its limits are at power-up values",
  "said.interrupted_attended": "interrupted for {gap}, and ",
  "said.interrupted_before": "; it was interrupted {count} times before",
  "said.interrupted_unknown":
      "interrupted for {gap}, and its voltage can't tell it from another battery: see that it is " +
      "this ticket's, then let it go on",
  "said.is_it_the_same":
      "is this the same battery? compare its label with the ticket and answer yes or no",
  "said.is_reversed": "the battery is reversed: {volts} between + and -",
  "said.isolate_it": "this may not be a lead battery: isolate it and find out what it is",
  "said.journal_unfit": ", and its journal does not fit to them",
  "said.load_not_on":
      "the load did not stay on at {amps}: check the clamps first, an open joint lets it cut off at " +
      "once; else: ",
  "said.look_then_go_on": ": look at the battery, then let it go on",
  "said.looks_unsafe":
      "the inspection found it cracked, leaking, swollen or frozen: never charge or test it; store " +
      "it in an acid-proof tray and follow local rules for damaged batteries",
  "said.may_not_be_lead":
      ": a lead battery weighs {least} and more, so it may not be lead; nothing is charged or drawn " +
      "before a person has found out what it is",
  "said.meters_disagree": "two meters disagree: {volts} and {other}",
  "said.never_energised": "chemistry \"{chemistry}\" is never energised on this bench",
  "said.never_energised_here":
      "chemistry \"{chemistry}\" is never energised on this bench; find out what it is, or hand it back",
  "said.no_good_reading": "no good reading for {time} while energised",
  "said.no_voltage": "the instrument gave no voltage (overload or not a number)",
  "said.nobody_answered": "nobody answered: {question}",
  "said.not_safe_before": "the instruments could not be made safe before the run: ",
  "said.not_stated": "{finding} can't be stated: ",
  "said.nothing_energised": "nothing is energised: ",
  "said.off_not_verified": "off could not be verified: ",
  "said.other_instruments": "its instruments are others than before",
  "said.paused_by": "paused by {person}: {why}",
  "said.place_out_of_service": "the place is out of service",
  "said.place_tripped": "the place is tripped: ",
  "said.presence_lapsed": "nobody has confirmed to be at {place} for {minutes} minutes: ",
  "said.procedure_at": "{procedure} at {place}",
  "said.procedure_changed": ", and its procedure was changed",
  "said.procedure_ended": "{procedure} ended: ",
  "said.procedure_gone": ", and its procedure is no longer there",
  "said.readings_frozen": "the readings are frozen",
  "said.reads_otherwise": "the battery reads {volts} where this ticket's battery last showed {shown}",
  "said.reseat_clamps": ". Clean both posts, reseat both clamps, then confirm and start again: ",
  "said.reseat_sense": "clean and reseat the clamps: one sense lead has no good contact",
  "said.resumed_often": "resumed after {count} interruptions of {time}",
  "said.resumed_once": "resumed after an interruption of {time}",
  "said.run_is_void": "{run} of the {procedure} is void: ",
  "said.run_too_long": "the run is longer than its limit of {limit}",
  "said.runs_away":
      "the charge current rose from {from} to {to} within {time} while the case warmed from {cool} " +
      "to {warm}: the battery runs away",
  "said.scanned_at": "scanned at {place}",
  "said.senses_disagree":
      "two meters disagree at {amps}: {volts} and {other}: clean and reseat the clamps, one of them " +
      "has no good contact",
  "said.should_hold": ", where it should hold {least}",
  "said.shows_no_polarity":
      "only {volts} at the clamps: nothing is clamped on, or the battery is too flat to show its " +
      "polarity",
  "said.something_came_after": "the daemon stopped during this run, and something else came after it",
  "said.stands_still": "it stands still, everything off: ",
  "said.step_took_too_long": "{step} did not end within its time limit",
  "said.stop_all_by": "stop all by {person}",
  "said.stop_all_by_signal": "stop all by signal",
  "said.stopped_before_run": "the daemon stopped before the run began",
  "said.stopped_by": "stopped by {person}: {why}",
  "said.stopped_by_keyboard": "stopped from the keyboard",
  "said.stopped_during": "the daemon stopped during this run; its samples stay as evidence",
  "said.store_failed": "the store failed: ",
  "said.suggest_cheapest":
      "Of those that wait for a place of this kind its letter is expected to cost least: {bay} of a " +
      "bay, {charging} of a charging place and {hands} of hands.",
  "said.suggest_longest": "Of those that wait for a place of this kind it came first.",
  "said.suggest_only": "Nothing else waits for a place of this kind.",
  "said.suggest_promised":
      "It is promised for {until} and needs some {time} more: behind another it would be late.",
  "said.taken_up_again": "taken up again",
  "said.the_size": "the size {size}",
  "said.then_a_joint": "if it collapses then as well, a joint inside is open",
  "said.then_it_counts": "what it shows then is the battery's",
  "said.then_it_fails": "if it collapses then as well, it fails under load",
  "said.then_not_taken": "what it then does not take is its own",
  "said.then_the_batterys": "if that shows again, it is the battery's",
  "said.thermometer_silent": "the thermometer gives no reading",
  "said.thermometer_still":
      "the thermometer has shown {case} for {time} while the current should have changed it by some " +
      "{change}: it does not follow the battery",
  "said.to_be_drawn": "{amps} are to be drawn",
  "said.told_to_end": "the daemon was told to end",
  "said.too_flat_to_draw": "at {volts} the battery is too flat to be drawn from",
  "said.too_light": "{weight} is too light for ",
  "said.too_much_for_cells": "{volts} is too much for {cells} lead cells at rest",
  "said.too_warm_to_charge": "the case is at {case}, {rise} above {room}, where a charge ends",
  "said.trace_not_kept": "the store can't keep the trace: ",
  "said.trip_samples": " ({run}, {from} to {to} of its trace)",
  "said.twins":
      "{instrument} and {twin} are of one kind and state no serial number: nobody sees it if they " +
      "change places. ",
  "said.twins_exchanged":
      "nobody could see it if its instruments were exchanged for others of their kind meanwhile",
  "said.twins_label": ", name each link by its socket (by-path), and label unit, cable and socket",
  "said.twins_same_unit": "Both are unit {unit}: give each a number of its own",
  "said.twins_serial": "Pin the serial number in the profile if they have one",
  "said.volts_unknown": ", and nothing is known of the voltage of its battery",
  "said.warms_too_fast": "the case warmed by {rise} to {case} within {time}: {limit} are the limit",
  "said.was_interrupted":
      "{procedure} at {place} was interrupted and goes on once everything there is off and ready",
  "said.weigh_charge": "A charge first, then whichever test costs less",
  "said.weigh_costs":
      "; to the letter {bay} of a bay, {charging} of a charging place and {hands} of hands are " +
      "expected, worth {price}. ",
  "said.weigh_load": "Load test first: it alone decides {chance} of batteries of which as much is known",
  "said.weigh_load_now":
      "Load test as it came: it alone decides {chance} of batteries of which as much is known",
  "said.weigh_minutes": "Minutes first: they alone decide {chance} of batteries of which as much is known",
  "said.weigh_other": ": {bay}, {charging} and {hands}, worth {price}.",
  "said.weigh_rest_away": "It rests at a charging place, which frees the bay",
  "said.weigh_rest_costs": ": {bay} of a bay, {charging} of a charging place and {hands} of hands",
  "said.weigh_rest_here": "It rests where it is, since its tests follow here",
  "said.weigh_rest_other": ", elsewhere {bay}, {charging} and {hands}.",
  "said.went_in_unmeasured": ", in which at most {amount} went in unmeasured",
  "said.why_asked_for": "It was asked for when the battery came in.",
  "said.why_capacity": "The minutes against the rating decide the grade.",
  "said.why_charge": "A rating is that of a fully charged battery, so the test begins with a full one.",
  "said.why_charge_again":
      "It did not pass under load, by little, and was not full: charged, it may hold.",
  "said.why_charge_to_load": "A load test asks for {share} % of charge.",
  "said.why_intake": "Before anything is put in or taken out: is it safe, whole and what its label says?",
  "said.why_load": "A failed draw at cranking current decides without emptying the battery.",
  "said.why_load_again":
      "It did not pass under load: once more with both clamps set anew, before that counts against " +
      "it.",
  "said.why_recharge": "A test drew on it: it leaves charged.",
  "said.why_recovery": "It came deeply discharged: a soft start, with somebody there.",
  "said.why_resistance": "It costs a minute and shows a bad joint before more is drawn.",
  "said.why_rest": "A voltage says something only once it is stable.",
  "said.why_standing": "It came flat and is else sound: does it keep its charge on the shelf?",
  "said.why_until_decided":
      "The minutes decide; it stops as soon as the limit is passed or out of reach.",
};
