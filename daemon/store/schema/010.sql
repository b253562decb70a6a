-- SPDX-License-Identifier: Apache-2.0
-- Schema 10: people as codes. Whatever is kept for good says "P-7"; the name stands here alone and can be
-- erased. Rows of the audit of before keep the names that they say: a chain is not rewritten.

CREATE TABLE person (
  id INTEGER PRIMARY KEY, -- 7 of P-7; given once
  name TEXT NOT NULL, -- as typed; empty once it was erased
  codes_then INTEGER NOT NULL DEFAULT 0 -- of an erased one: the last code that had been given by then
) STRICT;

-- Names so far. person_of() is people.h's.
CREATE TABLE old_name (said TEXT PRIMARY KEY, code TEXT) STRICT;
INSERT INTO old_name (said)
  SELECT given_by FROM consent UNION SELECT recorded_by FROM consent
  UNION SELECT proposed_by FROM grade_override UNION SELECT settled_by FROM grade_override
  UNION SELECT actor FROM audit WHERE actor <> 'leadwrightd'
  UNION SELECT coalesce(json_extract(journal, '$.started_by'), '') FROM run_journal WHERE json_valid(journal);
INSERT INTO person (name)
  SELECT min(person_of(said)) FROM old_name WHERE person_of(said) <> ''
  GROUP BY lower(person_of(said)) ORDER BY 1;
UPDATE old_name SET code = coalesce(
  (SELECT 'P-' || id FROM person WHERE lower(name) = lower(person_of(old_name.said))), '');
UPDATE consent SET
  given_by = (SELECT code FROM old_name WHERE said = given_by),
  recorded_by = (SELECT code FROM old_name WHERE said = recorded_by);
UPDATE grade_override SET
  proposed_by = (SELECT code FROM old_name WHERE said = proposed_by),
  settled_by = (SELECT code FROM old_name WHERE said = settled_by);

-- The sentences of the bench that name a person. The longest wins: "stop all by ana" begins another one too.
CREATE TABLE old_words (was TEXT NOT NULL, becomes TEXT NOT NULL) STRICT;
INSERT INTO old_words
  SELECT verb.column1 || said || verb.column2, verb.column1 || 'person ' || code || verb.column2
  FROM old_name, (VALUES ('stopped by ', ': '), ('paused by ', ': '), ('stop all by ', '')) AS verb
  WHERE code <> '';
UPDATE ticket SET state_reason = coalesce(
  (SELECT replace(state_reason, was, becomes) FROM old_words WHERE instr(state_reason, was) > 0
   ORDER BY length(was) DESC LIMIT 1), state_reason) WHERE state_reason LIKE '% by %';
UPDATE run SET end_reason = coalesce(
  (SELECT replace(end_reason, was, becomes) FROM old_words WHERE instr(end_reason, was) > 0
   ORDER BY length(was) DESC LIMIT 1), end_reason) WHERE end_reason LIKE '% by %';
UPDATE place SET latched_trip = coalesce(
  (SELECT replace(latched_trip, was, becomes) FROM old_words WHERE instr(latched_trip, was) > 0
   ORDER BY length(was) DESC LIMIT 1), latched_trip) WHERE latched_trip LIKE '% by %';
UPDATE run_journal SET journal = coalesce(
  (SELECT replace(journal, was, becomes) FROM old_words WHERE instr(journal, was) > 0
   ORDER BY length(was) DESC LIMIT 1), journal);
UPDATE run_journal SET journal = coalesce(
  (SELECT json_set(journal, '$.started_by', code) FROM old_name
   WHERE said = json_extract(journal, '$.started_by')), journal) WHERE json_valid(journal);
DROP TABLE old_words;
DROP TABLE old_name;
