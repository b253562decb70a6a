-- SPDX-License-Identifier: Apache-2.0
-- Schema 6: answers to creations by the key that the asker chose, so that asking again creates nothing twice.

-- asked: hash of who asked for what; status and body: the answer
CREATE TABLE kept_answer (
    key TEXT PRIMARY KEY,
    asked TEXT NOT NULL,
    status INTEGER NOT NULL,
    body TEXT NOT NULL,
    at INTEGER NOT NULL
) STRICT;
CREATE INDEX kept_answer_at ON kept_answer (at);
