-- SPDX-License-Identifier: Apache-2.0
-- Schema 9: what the counter promised, and what a closer look at a battery finds.

ALTER TABLE ticket ADD COLUMN promised_at INTEGER;
ALTER TABLE ticket ADD COLUMN terminals_corroded INTEGER NOT NULL DEFAULT 0;
ALTER TABLE ticket ADD COLUMN vents_blocked INTEGER NOT NULL DEFAULT 0;
ALTER TABLE ticket ADD COLUMN electrolyte_low INTEGER NOT NULL DEFAULT 0;
ALTER TABLE ticket ADD COLUMN label_unreadable INTEGER NOT NULL DEFAULT 0;
ALTER TABLE ticket ADD COLUMN weight_kg REAL;
