-- SPDX-License-Identifier: Apache-2.0
-- Schema 5: which instruments took part in a run, so that the tickets judged by one can be found again.

-- JSON array of {name, identity, calibration_due, calibration_overdue}
ALTER TABLE run ADD COLUMN instruments TEXT NOT NULL DEFAULT '[]';
