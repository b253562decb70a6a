#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Outside servers answer our drivers: are we honest clients, and does what we say about them hold?

pymodbus plays a charger, a thermometer and a relay box after our generic profiles, over pseudo-terminals
(RTU) and over TCP, and writes down each access. The client's probe and a daemon ask them. A peer that is not
there is named ("not run: NAME: reason"), and is a failure only with --require-all. Exit 1 if any test fails.
"""

import argparse
import sys
from pathlib import Path

import peers_daemon
import peers_probe
from peers_present import has_module, run_tests, use_debian_python
from peers_wires import WireTest


def main() -> int:
    plain = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=plain)
    parser.add_argument("build", type=Path, help="the build folder, which holds the programs in bin")
    parser.add_argument("--require-all", action="store_true", help="a peer that is not there is a failure")
    options = parser.parse_args()
    WireTest.programs = (options.build / "bin").resolve()
    for program in ("leadwright", "leadwrightd"):
        if not (WireTest.programs / program).exists():
            parser.error(f"no {program} in {WireTest.programs}: build it first")

    use_debian_python("pymodbus", "serial", "serial_asyncio")
    peers = []
    # The server imports the serial lines even where it only listens on TCP.
    if has_module("pymodbus.server"):
        peers = [peers_probe.ProbeRtu, peers_probe.ProbeTcp, peers_daemon.DaemonTest]
    return 0 if run_tests(peers, options.require_all) else 1


if __name__ == "__main__":
    sys.exit(main())
