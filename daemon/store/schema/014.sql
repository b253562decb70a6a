-- SPDX-License-Identifier: Apache-2.0
-- Schema 14: how the posts lie, and what the vehicle asks for, as the inspection found; empty where nobody
-- looked.

ALTER TABLE ticket ADD COLUMN plus_at TEXT NOT NULL DEFAULT '';
ALTER TABLE ticket ADD COLUMN post TEXT NOT NULL DEFAULT '';
ALTER TABLE ticket ADD COLUMN vehicle_size_code TEXT NOT NULL DEFAULT '';
ALTER TABLE ticket ADD COLUMN vehicle_plus_at TEXT NOT NULL DEFAULT '';
ALTER TABLE ticket ADD COLUMN vehicle_post TEXT NOT NULL DEFAULT '';
