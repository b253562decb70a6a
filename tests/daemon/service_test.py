#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""leadwrightd under a service manager that this script plays: ready, fed while a bay draws, and SIGUSR1.

service_test.py TREE PROGRAMS: over real pseudo-terminals, in a folder of its own.
"""

import argparse
import os
import signal
import socket
import sys
import tempfile
from pathlib import Path

sys.dont_write_bytecode = True
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools/lib"))
from kill_test import BAY, Bench  # noqa: E402

WATCHDOG_S = 2.0


def heard(notify: socket.socket) -> list[str]:
    messages = []
    while True:
        try:
            messages.append(notify.recv(4096).decode())
        except BlockingIOError:
            return messages


def check(bench: Bench, notify: socket.socket) -> None:
    bench.tell_simulator(f"plug {BAY} cell:sound")
    bench.start_daemon()
    said: list[str] = []

    def says(text: str) -> bool:
        said.extend(heard(notify))
        return any(text in message for message in said)

    bench.wait(lambda: says("READY=1"), "READY=1")
    bench.wait(lambda: bench.place().get("activity") == "ready", "a ready bay")
    battery = {"serial": "SERVICE-1", "chemistry": "flooded", "cells": 6}
    ticket = bench.ask("/api/v1/tickets", {"battery": battery, "procedures": ["reserve capacity"]})["ticket"]
    bench.ask(f"/api/v1/tickets/{ticket}/move", {"place": BAY})
    bench.ask(f"/api/v1/places/{BAY}/acknowledge", {"of": "cautions"})
    bench.ask(f"/api/v1/places/{BAY}/start", {})
    bench.wait(lambda: (bench.place().get("amps_a") or 0.0) > 24.0, "25 A")
    said.clear()
    bench.wait(lambda: says("WATCHDOG=1"), "a fed watchdog while a bay draws")

    bench.daemon.send_signal(signal.SIGUSR1)
    off_s = bench.wait(lambda: "load off" in bench.posts(), "the load to be off after SIGUSR1")
    bench.wait(lambda: bench.place().get("activity") == "tripped", "a latched bay")
    print(f"  SIGUSR1: off at the posts after {off_s:.2f} s; {bench.place()['ask']['text']}")
    if bench.daemon.poll() is not None:
        sys.exit("service_test: the daemon ended")
    said.clear()
    bench.daemon.terminate()
    bench.wait(lambda: says("STOPPING=1"), "STOPPING=1")
    if bench.daemon.wait(timeout=10) != 0:
        sys.exit("service_test: the daemon did not end well")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tree", type=Path)
    parser.add_argument("programs", type=Path)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="leadwright-") as folder:
        notify = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_NONBLOCK)
        notify.bind(f"{folder}/notify")
        os.environ["NOTIFY_SOCKET"] = f"{folder}/notify"
        os.environ["WATCHDOG_USEC"] = str(int(WATCHDOG_S * 1e6))
        bench = Bench(options.tree.resolve(), Path(folder), [], options.programs.resolve())
        try:
            check(bench, notify)
        finally:
            bench.end()


if __name__ == "__main__":
    main()
