#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Outside peers talk to benchsim: is the device's side of our simulated instruments honest?

pymodbus and mbpoll speak Modbus to a pseudo-terminal (RTU) and to a TCP port, PyVISA speaks SCPI to a TCP
port. A peer that is not there is named ("not run: NAME: reason"), and is a failure only with --require-all.
Exit 1 if any test fails.
"""

import argparse
import shutil
import sys
from pathlib import Path

import peers_modbus
import peers_scpi
from peers_present import has_module, not_run, run_tests, use_debian_python
from peers_simulator import Simulator, SimulatorTest


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

    use_debian_python("pymodbus", "serial", "pyvisa", "pyvisa_py")
    peers = present_peers()
    simulator = SimulatorTest.simulator = Simulator(options.build / "bin")
    try:
        return 0 if run_tests(peers, options.require_all) else 1
    finally:
        simulator.end()


if __name__ == "__main__":
    sys.exit(main())
