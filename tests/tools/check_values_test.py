# SPDX-License-Identifier: Apache-2.0
"""Every row of tests/check_values.md names a test that exists, and none is missing."""

import unittest
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
WAITING = {34, 35, 36, 37}


def rows():
    for line in (TESTS / "check_values.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[0].isdigit():
            yield int(cells[0]), cells[4], cells[5]


class CheckValues(unittest.TestCase):
    def test_are_forty_five(self):
        self.assertEqual(list(range(1, 46)), [number for number, _, _ in rows()])

    def test_are_each_asserted_where_the_table_says(self):
        for number, file, test in rows():
            if number in WAITING:
                continue
            text = (TESTS / file).read_text(encoding="utf-8")
            self.assertIn(f", {test})", text, f"row {number}")


if __name__ == "__main__":
    unittest.main()
