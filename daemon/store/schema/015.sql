-- SPDX-License-Identifier: Apache-2.0
-- Schema 15: the newest look into the cells with a hydrometer, as read (daemon/store/acid_json.h); null where
-- nobody looked. What follows from it stands among the findings, of this look and of those before.

ALTER TABLE ticket ADD COLUMN gravities TEXT;
ALTER TABLE ticket ADD COLUMN acid_degc REAL;
ALTER TABLE ticket ADD COLUMN acid_at INTEGER;
