-- SPDX-License-Identifier: Apache-2.0
-- Schema 4: what a grade rests on and leads to, rule by rule, and the receipt that was shown.
-- From here on grade.rules holds {rule, text, unit, limit, value, u, guard_band, probability, outcome};
-- older rows hold sentences.

ALTER TABLE ticket ADD COLUMN receipt TEXT NOT NULL DEFAULT '';
ALTER TABLE grade ADD COLUMN next_procedure TEXT NOT NULL DEFAULT '';
ALTER TABLE grade ADD COLUMN next_why TEXT NOT NULL DEFAULT '';
ALTER TABLE grade ADD COLUMN flags TEXT NOT NULL DEFAULT '[]'; -- JSON array of sentences
ALTER TABLE grade ADD COLUMN warranty TEXT NOT NULL DEFAULT '';
ALTER TABLE grade ADD COLUMN second_life TEXT NOT NULL DEFAULT '';
