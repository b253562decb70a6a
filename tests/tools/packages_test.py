# SPDX-License-Identifier: Apache-2.0
"""tools/lib/packages.sh: which rows of a list are missing, and that a full list installs nothing."""

import subprocess
import tempfile
import unittest
from pathlib import Path

LIBRARY = Path(__file__).resolve().parents[2] / "tools" / "lib" / "packages.sh"
ABSENT = "leadwright-no-such-package"


def run(function: str, rows: str, *groups: str, path: str | None = None):
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as file:
        file.write(rows)
        file.flush()
        change = f"PATH={path}; " if path else ""
        script = f'set -euo pipefail; source "$1"; shift; {change}{function} "$@"'
        return subprocess.run(["bash", "-c", script, "bash", str(LIBRARY), file.name, *groups],
                              capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)


class Packages(unittest.TestCase):
    def test_names_a_package_that_is_absent_with_its_reason(self):
        answer = run("packages_missing", f"[a]\n{ABSENT} # for a test\n", "a")
        self.assertEqual(f"{ABSENT}\tfor a test\n", answer.stdout)

    def test_leaves_out_groups_that_were_not_asked_for(self):
        self.assertEqual("", run("packages_missing", f"[a]\n[b]\n{ABSENT} # no\n", "a").stdout)

    def test_takes_a_command_of_the_wanted_version_for_its_package(self):
        self.assertEqual("", run("packages_missing", f"[a]\nbash>=3|{ABSENT}\n", "a").stdout)

    def test_wants_the_package_when_the_command_is_older(self):
        self.assertIn(ABSENT, run("packages_missing", f"[a]\nbash>=900|{ABSENT}\n", "a").stdout)

    def test_compares_versions_by_number_and_not_by_letter(self):
        self.assertIn(ABSENT, run("packages_missing", f"[a]\nbash>=10.0|{ABSENT}\n", "a").stdout)

    def test_wants_the_package_when_the_command_is_absent(self):
        self.assertIn(ABSENT, run("packages_missing", f"[a]\n{ABSENT}>=1|{ABSENT}\n", "a").stdout)

    def test_installs_nothing_when_all_is_there(self):
        answer = run("packages_install", "[a]\nbash>=3|bash\n", "a")
        self.assertEqual(0, answer.returncode, answer.stderr)
        self.assertIn("nothing to install", answer.stdout)

    def test_says_what_is_missing_where_there_is_no_apt(self):
        answer = run("packages_install", f"[a]\n{ABSENT} # x\n", "a", path="/nowhere")
        self.assertEqual(1, answer.returncode)
        self.assertIn(ABSENT, answer.stderr)


if __name__ == "__main__":
    unittest.main()
