-- SPDX-License-Identifier: Apache-2.0
-- Schema 8: what the vehicle's battery monitor reported, in numbers beside its words.

ALTER TABLE ticket ADD COLUMN monitor_soc REAL;
ALTER TABLE ticket ADD COLUMN monitor_age_s REAL;
ALTER TABLE ticket ADD COLUMN monitor_degc REAL;
ALTER TABLE ticket ADD COLUMN monitor_reset_on TEXT NOT NULL DEFAULT '';
