-- SPDX-License-Identifier: Apache-2.0
-- Schema 3: the owner's consent to a run. A table of its own, so that a person's name can be erased without a
-- change to the run or to the audit, which names the run only.

CREATE TABLE consent (
  run INTEGER PRIMARY KEY REFERENCES run (id),
  agreed_to TEXT NOT NULL CHECK (agreed_to <> ''),
  given_by TEXT NOT NULL,
  recorded_by TEXT NOT NULL,
  at INTEGER NOT NULL
) STRICT;
