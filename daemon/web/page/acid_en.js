// SPDX-License-Identifier: Apache-2.0
// What a hydrometer's readings are called, and what they point to. Keys with a dot are codes of the bench.
export const words = {
  acid_degrees: "Temperature of the acid, {unit}",
  acid_of_cell: "Cell {cell}",
  acid_read: "Specific gravity of the acid",
  hydrometer: "Hydrometer (flooded, with caps)",
  hydrometer_hint:
      "Specific gravity of each cell, counted from the positive post. Wear eye and hand protection, and " +
      "open only what its maker lets be opened.",
  "measurand.acid_gravity_sg": "Specific gravity of the acid at 80 °F",
  "measurand.acid_spread_sg": "Specific gravity, highest cell less the lowest",
  "measurand.acid_cell_below_sg": "Specific gravity, lowest cell below the others",
  "measurand.soc_by_acid_1": "State of charge by the acid",
  "measurand.ocv_above_acid_v": "Rested voltage above what its acid gives",
  "measurand.time_to_full_min": "Time to full",
  "said.sign_weak_cell":
      "The acid of cell {cell}, counted from the positive post, lies {below} below that of the others, " +
      "more than {most}: that cell is weak or shorted.",
  "said.sign_weak_cell_full":
      "After a full charge the acid of its cells still differs by {spread}, more than {most}, and that of " +
      "cell {cell} is the lowest: that cell is weak.",
  "said.sign_uneven":
      "The acid of its cells differs by {spread}, more than {most}: charge it, and read them again before " +
      "anything is made of it.",
  "said.sign_layers":
      "It rests {volts} above what its acid gives as it was read at the top: its acid lies in layers, weak " +
      "at the top, and its voltage looks fuller than it is. A charge that mixes the acid comes before " +
      "anything is made of its voltage.",
  "said.sign_lacks_volts":
      "The acid of its cells is even, and yet it rests {volts} below what that acid gives: a cell begins " +
      "to short, or acid was filled in where water was missing.",
  "said.sign_layers_by_charge":
      "At rest it showed {charge} of its charge, and yet its charge put in {taken}, where that leaves " +
      "{missing} missing at most: its acid lay in layers, or it makes gas or loses its charge.",
  "said.sign_dry": "It has lost water:",
  "said.dry_plates": " its plates stand above the acid;",
  "said.dry_light": " it weighs {weight}, where {usual} are usual for its size;",
  "said.dry_lighter": " it weighs {weight}, and weighed {earlier} at an earlier visit;",
  "said.dry_strong": " its acid has {gravity}, more than any is filled with;",
  "said.dry_rests_high": " it rests at {volts}, above the {most} of a full one;",
  "said.dry_resists":
      " its resistance is {times} times the highest that is usual for its cranking current;",
  "said.dry_gives": " it gives {share} of its rating;",
  "said.dry_end": " so dry-out comes before wear or corrosion as its cause.",
  "said.life_made": "It was made {months} months ago",
  "said.life_sold": "It was sold {months} months ago, and its age is unknown",
  "said.life_before":
      ", before the {from} to {to} months after which starter batteries usually end (common practice, no " +
      "source): age alone explains no failure.",
  "said.life_within":
      ", within the {from} to {to} months after which starter batteries usually end (common practice, no " +
      "source). Its letter rests on what was measured alone.",
  "said.life_past":
      ", past the {from} to {to} months after which starter batteries usually end (common practice, no " +
      "source). Its letter rests on what was measured alone.",
};
