-- SPDX-License-Identifier: Apache-2.0
-- Schema 12: sentences by their phrases (daemon/store/said_json.h), for readers of other languages; empty for
-- what is older. A grade's rules have theirs in grade.rules, as "said".
-- And where a run's draw was meant to end.

ALTER TABLE grade ADD COLUMN said TEXT NOT NULL DEFAULT '{}';
ALTER TABLE run ADD COLUMN ends_at_v REAL;
ALTER TABLE fault ADD COLUMN said TEXT NOT NULL DEFAULT '[]';
