-- SPDX-License-Identifier: Apache-2.0
-- Schema 1. Instants are nanoseconds of UTC (_at); a number's unit is the end of its name. Missing is NULL.

-- One row: what this database is.
CREATE TABLE meta (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  simulated INTEGER NOT NULL CHECK (simulated IN (0, 1)),
  -- Length and end of the audit chain: without them its last rows could be cut off unseen.
  audit_rows INTEGER NOT NULL DEFAULT 0,
  audit_hash BLOB NOT NULL DEFAULT (zeroblob(32))
) STRICT;

CREATE TABLE battery (
  id INTEGER PRIMARY KEY,
  serial TEXT NOT NULL CHECK (serial <> ''),
  chemistry TEXT NOT NULL,
  cells INTEGER NOT NULL,
  cca_a REAL,
  cca_standard TEXT,
  reserve_capacity_min REAL,
  reserve_capacity_standard TEXT,
  c20_ah REAL,
  c20_standard TEXT,
  size_code TEXT NOT NULL,
  manufactured_on TEXT NOT NULL
) STRICT;

CREATE TABLE ticket (
  id INTEGER PRIMARY KEY,
  battery INTEGER NOT NULL REFERENCES battery (id),
  previous INTEGER REFERENCES ticket (id),
  complaint TEXT NOT NULL,
  sold_on TEXT NOT NULL,
  monitor_report TEXT NOT NULL,
  cracked INTEGER NOT NULL,
  leaking INTEGER NOT NULL,
  swollen INTEGER NOT NULL,
  frozen INTEGER NOT NULL,
  terminals_damaged INTEGER NOT NULL,
  remarks TEXT NOT NULL,
  state TEXT NOT NULL,
  state_reason TEXT NOT NULL,
  place TEXT NOT NULL,
  received_at INTEGER NOT NULL,
  state_since_at INTEGER NOT NULL,
  held_until_at INTEGER,
  closing TEXT,
  asked_procedures TEXT NOT NULL, -- JSON array of names
  needs_recharge INTEGER NOT NULL
) STRICT;
CREATE INDEX ticket_of_battery ON ticket (battery);
CREATE INDEX ticket_by_state ON ticket (state);

CREATE TABLE run (
  id INTEGER PRIMARY KEY,
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  place TEXT NOT NULL,
  procedure TEXT NOT NULL,
  procedure_version INTEGER NOT NULL,
  procedure_hash TEXT NOT NULL,
  started_at INTEGER NOT NULL,
  ended_at INTEGER,
  outcome TEXT NOT NULL,
  end_reason TEXT NOT NULL
) STRICT;
CREATE INDEX run_of_ticket ON run (ticket);

-- The measurand names the unit of value and u ("ocv_v").
CREATE TABLE finding (
  id INTEGER PRIMARY KEY,
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  run INTEGER REFERENCES run (id),
  measurand TEXT NOT NULL,
  value REAL NOT NULL,
  u REAL NOT NULL,
  method TEXT NOT NULL,
  conditions TEXT NOT NULL,
  budget TEXT NOT NULL, -- JSON array of {quantity, u_input, u}
  at INTEGER NOT NULL
) STRICT;
CREATE INDEX finding_of_ticket ON finding (ticket);

CREATE TABLE fault (
  id INTEGER PRIMARY KEY,
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  run INTEGER REFERENCES run (id),
  kind TEXT NOT NULL,
  evidence TEXT NOT NULL,
  at INTEGER NOT NULL
) STRICT;
CREATE INDEX fault_of_ticket ON fault (ticket);

CREATE TABLE grade (
  id INTEGER PRIMARY KEY,
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  letter TEXT NOT NULL CHECK (letter IN ('A', 'B', 'C', 'D', 'F', 'U')),
  reason TEXT NOT NULL,
  policy TEXT NOT NULL,
  policy_hash TEXT NOT NULL,
  software TEXT NOT NULL,
  disposition TEXT NOT NULL,
  rules TEXT NOT NULL, -- JSON array of sentences
  at INTEGER NOT NULL
) STRICT;
CREATE INDEX grade_of_ticket ON grade (ticket);

CREATE TABLE place (
  name TEXT PRIMARY KEY,
  out_of_service INTEGER NOT NULL,
  latched_trip TEXT NOT NULL
) STRICT;

-- Format of samples: trace_codec.h.
CREATE TABLE trace_block (
  run INTEGER NOT NULL REFERENCES run (id),
  sequence INTEGER NOT NULL,
  samples BLOB NOT NULL,
  PRIMARY KEY (run, sequence)
) STRICT;

-- Canonical text and hash: audit.h. Rows are numbered 1, 2, 3, ... without a gap.
CREATE TABLE audit (
  id INTEGER PRIMARY KEY,
  at INTEGER NOT NULL,
  actor TEXT NOT NULL,
  what TEXT NOT NULL,
  subject TEXT NOT NULL,
  why TEXT NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
CREATE INDEX audit_of_subject ON audit (subject);
