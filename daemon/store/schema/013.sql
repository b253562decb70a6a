-- SPDX-License-Identifier: Apache-2.0
-- Schema 13: phrases (daemon/store/said_json.h) of what ended a run, of why a ticket is in its state and of a
-- place's trip; empty for what is older.

ALTER TABLE run ADD COLUMN end_said TEXT NOT NULL DEFAULT '[]';
ALTER TABLE ticket ADD COLUMN state_said TEXT NOT NULL DEFAULT '[]';
ALTER TABLE place ADD COLUMN trip_said TEXT NOT NULL DEFAULT '[]';
