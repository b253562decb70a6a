-- SPDX-License-Identifier: Apache-2.0
-- Schema 7: other letters than the bench's own, by the word of two persons. A table of its own: the grade and
-- its rules stay as they are, and a name can be erased without a change to either or to the audit.

CREATE TABLE grade_override (
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  number INTEGER NOT NULL, -- of its ticket: 1, 2, 3, ...
  letter TEXT NOT NULL CHECK (letter IN ('A', 'B', 'C', 'D', 'U')),
  -- Of the grade that it is about.
  own_letter TEXT NOT NULL CHECK (own_letter IN ('A', 'B', 'C', 'D', 'U')),
  own_reason TEXT NOT NULL,
  why TEXT NOT NULL CHECK (why <> ''),
  disposition TEXT NOT NULL,
  state TEXT NOT NULL,
  proposed_by TEXT NOT NULL,
  proposed_at INTEGER NOT NULL,
  settled_by TEXT NOT NULL, -- empty while it is proposed
  settled_at INTEGER,
  PRIMARY KEY (ticket, number)
) STRICT;
