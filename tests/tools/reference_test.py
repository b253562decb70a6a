# SPDX-License-Identifier: Apache-2.0
"""tools/lib/reference.py against a stand-in for `leadwright rehearse trace` that says what it is told."""

import json
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

COMPARE = Path(__file__).resolve().parents[2] / "tools" / "lib" / "reference.py"
STAND_IN = """#!/usr/bin/env python3
import json, sys
from pathlib import Path
files = [Path(a) for a in sys.argv[3:] if a.endswith(".csv")]
if any(f.with_suffix(".json").exists() for f in files):
    sys.exit(9)
print(json.dumps([{"file": str(f), "reserve_capacity_min": MINUTES, "end_reason": "cut-off"} for f in files]))
"""


def compare(minutes: str):
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder)
        for name in ("A/A_44ah_25a", "A/A_44ah_2x", "B/B_01", "E/E_01"):
            (base / name).parent.mkdir(exist_ok=True)
            (base / f"{name}.csv").write_text("time_s\n", encoding="utf-8")
            (base / f"{name}.json").write_text(json.dumps({"minutes_to_cutoff": 100.0}), encoding="utf-8")
        program = base / "leadwright"
        program.write_text(STAND_IN.replace("MINUTES", minutes), encoding="utf-8")
        program.chmod(0o755)
        return subprocess.run([sys.executable, "-B", str(COMPARE), str(program), folder],
                              capture_output=True, text=True, check=False)


class Reference(unittest.TestCase):
    def test_accepts_minutes_within_one_per_cent_and_hides_the_sidecars(self):
        answer = compare("100.9")
        self.assertEqual(0, answer.returncode, answer.stderr)
        self.assertIn("3 of 3 within 1 %", answer.stdout)

    def test_refuses_minutes_outside_one_per_cent(self):
        answer = compare("101.1")
        self.assertEqual(1, answer.returncode)
        self.assertIn("0 of 3", answer.stdout)

    def test_refuses_a_missing_value(self):
        answer = compare("None")
        self.assertEqual(1, answer.returncode)
        self.assertIn("missing", answer.stdout)


if __name__ == "__main__":
    unittest.main()
