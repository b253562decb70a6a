-- SPDX-License-Identifier: Apache-2.0
-- Schema 11: photos of batteries. A table of its own, so that one can be erased without a change to its
-- ticket or to the audit, which names its number only.

CREATE TABLE photo (
  id INTEGER PRIMARY KEY,
  ticket INTEGER NOT NULL REFERENCES ticket (id),
  run INTEGER REFERENCES run (id),
  about TEXT NOT NULL,
  at INTEGER NOT NULL,
  jpeg BLOB NOT NULL -- empty once it is erased
) STRICT;
CREATE INDEX photo_of_ticket ON photo (ticket);
