# SPDX-License-Identifier: Apache-2.0
"""tools/quickstart around stand-in programs, in a folder whose name has spaces.

The build is a stand-in too: `cmake` and `ninja` on the path put the programs where the script looks for them.
"""

import os
import shutil
import subprocess
import tempfile
import tomllib
import unittest
from pathlib import Path

TREE = Path(__file__).resolve().parents[2]
NINJA = """#!/bin/bash
cd "$2/bin" && for name in leadwrightd leadwright benchsim; do cp "$STANDINS/$name" "$name"; done
"""
DAEMON = """#!/bin/bash
trap 'echo daemon >>"$STANDINS/ended"; kill $!; exit 0' TERM
case $WORLD in no-daemon) echo "port taken"; exit 78 ;; esac
echo "http://127.0.0.1:4242" >"${@: -1}/url"
case $WORLD in daemon-dies) exit 70 ;; esac
sleep 60 & wait $!
"""
BENCHSIM = """#!/bin/bash
if [[ $1 == hand ]]; then
  case $WORLD in
    ungraded) exit 1 ;;
    daemon-dies) exec sleep 60 ;;
  esac
  echo "hand $*"
  exit 0
fi
trap 'echo benchsim >>"$STANDINS/ended"; kill $!; exit 0' TERM
echo "schema = 1" >"$2/bench_time.toml"
sleep 60 & wait $!
"""


class Quickstart(unittest.TestCase):
    def setUp(self):
        self.folder = Path(tempfile.mkdtemp(prefix="lead wright "))
        self.addCleanup(shutil.rmtree, self.folder)
        shutil.copytree(TREE / "tools", self.folder / "tools")
        (self.folder / "build/release/bin").mkdir(parents=True)
        self.stand_ins = self.folder / "stand-ins"
        self.stand_ins.mkdir()
        for name, text in (("cmake", "#!/bin/true\n"), ("ninja", NINJA), ("leadwrightd", DAEMON),
                           ("leadwright", "#!/bin/true\n"), ("benchsim", BENCHSIM)):
            (self.stand_ins / name).write_text(text, encoding="utf-8")
            (self.stand_ins / name).chmod(0o755)

    def run_it(self, world: str, *options: str):
        path = f"{self.stand_ins}:{os.environ['PATH']}"
        environment = os.environ | {"PATH": path, "WORLD": world, "STANDINS": str(self.stand_ins)}
        command = [self.folder / "tools/quickstart", "--no-install", *options]
        return subprocess.run(command, cwd="/", timeout=60, env=environment, stdin=subprocess.DEVNULL,
                              capture_output=True, text=True, check=False)

    def ended(self) -> list[str]:
        return (self.stand_ins / "ended").read_text(encoding="utf-8").split()

    def test_ends_with_0_when_all_are_graded_and_stops_the_daemon_before_the_bench(self):
        run = self.run_it("good", "--once")
        self.assertEqual(0, run.returncode, run.stderr)
        self.assertIn("page: http://127.0.0.1:4242", run.stdout)
        self.assertIn("returns.toml --url http://127.0.0.1:4242", run.stdout)
        self.assertEqual(["daemon", "benchsim"], self.ended())

    def test_writes_a_configuration_of_two_bays_four_charging_places_and_a_shelf(self):
        self.run_it("good")
        written = tomllib.loads((self.folder / "build/demo/leadwright.toml").read_text(encoding="utf-8"))
        kinds = [place["kind"] for place in written["place"]]
        self.assertEqual(["shelf"] + 2 * ["bay"] + 4 * ["charging"], kinds)
        self.assertEqual(f"serial:{self.folder.resolve()}/build/demo/sim/lines/bay-1.load",
                         written["place"][1]["load"]["link"])
        self.assertEqual(0, written["web"]["port"])

    def test_ends_with_1_when_a_ticket_stays_without_grade(self):
        run = self.run_it("ungraded", "--once")
        self.assertEqual(1, run.returncode)
        self.assertIn("not every ticket", run.stderr)
        self.assertEqual(["daemon", "benchsim"], self.ended())

    def test_shows_why_the_daemon_did_not_start(self):
        run = self.run_it("no-daemon", "--once")
        self.assertEqual(1, run.returncode)
        self.assertIn("port taken", run.stderr)
        self.assertEqual(["benchsim"], self.ended())

    def test_ends_when_the_daemon_dies_in_mid_demo(self):
        run = self.run_it("daemon-dies", "--once")
        self.assertEqual(1, run.returncode)
        self.assertIn("mid-demo", run.stderr)

    def test_runs_a_command_while_the_page_is_up_and_takes_its_code(self):
        run = self.run_it("good", "--with", 'echo "at $LEADWRIGHT_URL"; exit 7')
        self.assertEqual(7, run.returncode)
        self.assertIn("at http://127.0.0.1:4242", run.stdout)

    def test_refuses_wrong_options_before_doing_anything(self):
        for options in (("--port", "70000"), ("--port",), ("--scale", "fast"), ("--twice",)):
            run = self.run_it("good", *options)
            self.assertEqual(64, run.returncode, options)
            self.assertFalse((self.folder / "build/demo").exists())


if __name__ == "__main__":
    unittest.main()
