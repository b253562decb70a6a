# SPDX-License-Identifier: Apache-2.0
"""What the tests of outside servers share: cables of pseudo-terminals, and units that pymodbus plays."""

import json
import os
import select
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
import tty
import unittest
from pathlib import Path

PATIENCE_S = 30.0
POLL_S = 0.01
TREE = Path(__file__).resolve().parents[2]
PROFILES = TREE / "config/profiles"
UNIT_PROGRAM = Path(__file__).resolve().with_name("peers_unit.py")


class Cable:
    """Two pseudo-terminals whose masters are joined, so that each end has a name and outlives its users."""

    def __init__(self):
        self.masters = []
        self.slaves = []
        for _ in range(2):
            master, slave = os.openpty()
            tty.setraw(slave)
            self.masters.append(master)
            # Held open: without a user a master reads EIO.
            self.slaves.append(slave)
        self.ours, self.theirs = (os.ttyname(slave) for slave in self.slaves)
        self.stop, self.stopped = os.pipe()
        self.pump = threading.Thread(target=self.carry)
        self.pump.start()

    def carry(self) -> None:
        other = dict(zip(self.masters, reversed(self.masters)))
        while True:
            ready, _, _ = select.select([*self.masters, self.stop], [], [])
            if self.stop in ready:
                return
            for master in ready:
                os.write(other[master], os.read(master, 4096))

    def close(self) -> None:
        os.write(self.stopped, b"x")
        self.pump.join()
        for descriptor in (*self.masters, *self.slaves, self.stop, self.stopped):
            os.close(descriptor)


def free_port() -> int:
    """A port that nobody listens on now."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        return server.getsockname()[1]


class Unit:
    """A Modbus unit in a process of its own, which can be stopped and started again at the same place."""

    def __init__(self, kind: str, log: Path, *where: str):
        self.command = [sys.executable, "-B", str(UNIT_PROGRAM), kind, "--log", str(log), *where]
        self.log = log
        self.process = None

    def start(self, *options: str) -> None:
        with self.log.with_suffix(".err").open("ab") as errors:
            self.process = subprocess.Popen([*self.command, *options], stdin=subprocess.DEVNULL,
                                            stdout=subprocess.PIPE, stderr=errors, text=True)
        if self.process.stdout.readline() != "ready\n":
            raise RuntimeError(f"pymodbus did not start: {' '.join(self.command)}")

    def stop(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process.stdout.close()
            self.process = None

    def accesses(self) -> list[dict]:
        """Reads and writes in their order; the last line may be half written."""
        if not self.log.exists():
            return []
        return [json.loads(line) for line in self.log.read_text(encoding="utf-8").split("\n")[:-1]]

    def writes(self) -> list[tuple]:
        return [(one["space"], one["at"], one["values"]) for one in self.accesses() if one["do"] == "write"]


class WireTest(unittest.TestCase):
    """A folder of its own, and the programs of ours; what a test opened is closed at its end."""

    programs: Path

    def setUp(self):
        self.folder = Path(tempfile.mkdtemp(prefix="leadwright-drivers-"))
        self.addCleanup(shutil.rmtree, self.folder)

    def rtu_unit(self, kind: str) -> tuple[Unit, str]:
        """Not yet started, and the link to it."""
        cable = Cable()
        self.addCleanup(cable.close)
        return self.unit_at(kind, "--rtu", cable.theirs), f"serial:{cable.ours}"

    def tcp_unit(self, kind: str) -> tuple[Unit, str]:
        port = free_port()
        return self.unit_at(kind, "--tcp", str(port)), f"tcp:127.0.0.1:{port}"

    def unit_at(self, kind: str, *where: str) -> Unit:
        unit = Unit(kind, self.folder / f"{kind}.log", *where)
        self.addCleanup(unit.stop)
        return unit

    def wait(self, holds, what: str) -> None:
        give_up = time.monotonic() + PATIENCE_S
        while not holds():
            if time.monotonic() > give_up:
                self.fail(f"waited {PATIENCE_S:.0f} s in vain for {what}")
            time.sleep(POLL_S)

    def leadwright(self, *arguments: str) -> subprocess.CompletedProcess:
        return subprocess.run([self.programs / "leadwright", *arguments], stdin=subprocess.DEVNULL,
                              capture_output=True, text=True, timeout=PATIENCE_S, check=False)

    def assert_never_on(self, unit: Unit) -> None:
        on = [write for write in unit.writes() if write[0] == "coil" and any(write[2])]
        self.assertEqual(on, [], "something was switched on")
