# SPDX-License-Identifier: Apache-2.0
"""benchsim for the tests of outside peers. Read next: peers_sim.py."""

import shutil
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

PATIENCE_S = 10.0
TIMEOUT_S = 1  # whole seconds: pymodbus 3.0 rounds down
READS = 200


class Simulator:
    """benchsim in a folder of its own."""

    def __init__(self, programs: Path):
        self.program = programs / "benchsim"
        self.folder = Path(tempfile.mkdtemp(prefix="leadwright-peers-"))
        self.process = subprocess.Popen(
            [self.program, "--state", self.folder, "--bays", "1", "--charging-places", "1", "--ideal",
             "--tcp", "--chargers", "modbus", "--relay-boxes", "1", "--wire", "box-1.0 isolates charge-1"],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
        if self.process.stdout.readline().strip() != "ready":
            sys.exit("peers_sim: benchsim did not start")
        self.ask("plug bay-1 cell:sound,charged=0.5")
        rows = (self.folder / "ports.txt").read_text(encoding="utf-8").split("\n")
        self.ports = {name: int(port) for name, port in (row.split() for row in rows if row)}

    def line(self, name: str) -> str:
        return str((self.folder / "lines" / name).resolve())

    def ask(self, command: str) -> str:
        asked = subprocess.run([self.program, "ask", "--state", self.folder, command], capture_output=True,
                               text=True, timeout=PATIENCE_S, check=True)
        return asked.stdout.strip()

    def break_charger(self, test: unittest.TestCase, fault: str) -> None:
        """Until the end of the test, or until it is mended."""
        test.addCleanup(self.ask, f"fault bay-1.charger {fault} off")
        self.ask(f"fault bay-1.charger {fault} on")

    def end(self) -> None:
        self.process.terminate()
        self.process.wait(PATIENCE_S)
        self.process.stdout.close()
        shutil.rmtree(self.folder)


class SimulatorTest(unittest.TestCase):
    """A test against the one simulator that peers_sim.py started."""

    simulator: Simulator
