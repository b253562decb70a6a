-- SPDX-License-Identifier: Apache-2.0
-- Schema 2. How far each run that goes on has come: one row a run, replaced as it goes on and gone when it
-- ends.
-- Format of journal: journal_codec.h.
CREATE TABLE run_journal (
  run INTEGER PRIMARY KEY REFERENCES run (id),
  journal TEXT NOT NULL
) STRICT;
