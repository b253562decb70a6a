#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Outside peers talk to benchsim: is the device's side of our simulated instruments honest?

pymodbus and mbpoll speak Modbus to a pseudo-terminal (RTU) and to a TCP port, PyVISA speaks SCPI to a TCP
port. A peer that is not there is named ("not run: NAME: reason"), and is a failure only with --require-all.
Exit 1 if any test fails.
"""

import argparse
import importlib.util
import os
import shutil
import sys
import unittest
from pathlib import Path

import peers_modbus
import peers_scpi
from peers_simulator import Simulator, SimulatorTest

DEBIAN_PYTHON = "/usr/bin/python3"

not_run: list[str] = []


def use_debian_python() -> None:
    """Debian's packages belong to Debian's own interpreter, which need not be the first in the path."""
    found = all(importlib.util.find_spec(name) for name in ("pymodbus", "serial", "pyvisa", "pyvisa_py"))
    if not found and os.path.exists(DEBIAN_PYTHON) and not os.path.samefile(sys.executable, DEBIAN_PYTHON):
        os.execv(DEBIAN_PYTHON, [DEBIAN_PYTHON, "-B", *sys.argv])


def has_module(name: str) -> bool:
    try:
        __import__(name)
    except ImportError as error:
        not_run.append(f"{name}: {error}")
        return False
    return True


def present_peers() -> list[type]:
    peers: list[type] = []
    if has_module("pymodbus.client"):
        peers += [peers_modbus.PymodbusTcp]
        if has_module("serial"):
            peers += [peers_modbus.PymodbusRtu]
    if shutil.which("mbpoll"):
        peers += [peers_modbus.MbpollRtu, peers_modbus.MbpollTcp]
    else:
        not_run.append("mbpoll: no such program")
    if has_module("pyvisa") and has_module("pyvisa_py"):
        peers += [peers_scpi.PyvisaScpi]
    return peers


def main() -> int:
    plain = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=plain)
    parser.add_argument("build", type=Path, help="the build folder, which holds bin/benchsim")
    parser.add_argument("--require-all", action="store_true", help="a peer that is not there is a failure")
    options = parser.parse_args()
    if not (options.build / "bin/benchsim").exists():
        parser.error(f"no benchsim in {options.build}/bin: build it first")

    use_debian_python()
    peers = present_peers()
    simulator = SimulatorTest.simulator = Simulator(options.build / "bin")
    try:
        loader = unittest.TestLoader()
        suite = unittest.TestSuite(loader.loadTestsFromTestCase(peer) for peer in peers)
        result = unittest.TextTestRunner(verbosity=1).run(suite)
    finally:
        simulator.end()
    for line in not_run:
        print(f"not run: {line}")
    print(f"{result.testsRun} tests of outside peers, {len(result.failures) + len(result.errors)} failed")
    return 0 if result.wasSuccessful() and not (options.require_all and not_run) else 1


if __name__ == "__main__":
    sys.exit(main())
