#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Kills the daemon with SIGKILL in mid-discharge over real pseudo-terminals, starts it again and looks.

The load must be off at the posts, the ticket must be there, the run must be void and planned again. The times
are printed; nothing is asserted about them but that they come at all. As root the whole is done again as a
plain user.
"""

import argparse
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

BAY = "bay-1"
PATIENCE_S = 30.0
PLAIN_USER = 65534


class Bench:
    """benchsim and leadwrightd in a folder of their own, as one user."""

    def __init__(self, tree: Path, folder: Path, user: list[str], programs: Path | None = None):
        self.tree, self.folder, self.user = tree, folder, user
        self.programs = programs or tree / "build/release/bin"
        self.simulator = self.start("benchsim", "--state", "sim", "--bays", "1", "--charging-places", "0",
                                    "--scale", "60")
        self.wait(lambda: (folder / "sim/bench_time.toml").exists(), "benchsim")
        (folder / "leadwright.toml").write_text(self.configuration(), encoding="utf-8")
        self.daemon = None

    def start(self, program: str, *arguments: str) -> subprocess.Popen:
        log = open(self.folder / f"{program}.log", "ab")
        return subprocess.Popen([*self.user, self.programs / program, *arguments], cwd=self.folder,
                                stdin=subprocess.DEVNULL, stdout=log, stderr=log)

    def configuration(self) -> str:
        lines = f"serial:{self.folder}/sim/lines/{BAY}"
        wires = "\n".join(f'{role} = {{ profile = "simulated_{role}", link = "{lines}.{role}" }}'
                          for role in ("load", "charger", "thermometer"))
        config = self.tree / "config"
        return (f'schema = 1\n[bench]\ntime = "sim/bench_time.toml"\n[web]\nport = 0\n'
                f'[folders]\nprofiles = "{config}/profiles"\nprocedures = "{config}/procedures"\n'
                f'[policy]\nfile = "{config}/policies/bench.toml"\n'
                f'[estimator]\nfile = "{config}/estimator.toml"\n'
                f'[[place]]\nname = "shelf"\nkind = "shelf"\n'
                f'[[place]]\nname = "{BAY}"\nkind = "bay"\n{wires}\n')

    def wait(self, holds, what: str) -> float:
        began = time.monotonic()
        while not holds():
            if time.monotonic() - began > PATIENCE_S:
                sys.exit(f"kill_test: waited {PATIENCE_S:.0f} s in vain for {what} (logs in {self.folder})")
            time.sleep(0.005)
        return time.monotonic() - began

    def start_daemon(self) -> None:
        (self.folder / "state/url").unlink(missing_ok=True)
        self.daemon = self.start("leadwrightd", "--config", "leadwright.toml", "--state", "state")

    def url(self) -> str:
        file = self.folder / "state/url"
        return file.read_text(encoding="utf-8").strip() if file.exists() else ""

    def client(self, *arguments: str) -> str:
        """What the client prints of the state folder."""
        return subprocess.run([*self.user, self.programs / "leadwright", "--state", "state", *arguments],
                              cwd=self.folder, capture_output=True, text=True, check=True).stdout

    def tell_simulator(self, line: str) -> str:
        return subprocess.run([*self.user, self.programs / "benchsim", "ask", "--state", "sim", line],
                              cwd=self.folder, capture_output=True, text=True, check=False).stdout.strip()

    def posts(self) -> str:
        return self.tell_simulator(f"posts {BAY}")

    def ask(self, path: str, body: dict | None = None) -> dict:
        data = None if body is None else json.dumps(body).encode()
        headers = {"Content-Type": "application/json", "Leadwright-Actor": "kill test"}
        request = urllib.request.Request(self.url() + path, data, headers)
        with urllib.request.urlopen(request, timeout=10) as reply:
            return json.load(reply)

    def place(self) -> dict:
        try:
            places = self.ask("/api/v1/bench")["places"]
        except OSError:
            return {}
        return next(place for place in places if place["name"] == BAY)

    def end(self) -> None:
        for program in (self.daemon, self.simulator):
            if program is not None:
                program.terminate()
                program.wait()


def draw(bench: Bench) -> None:
    bench.ask(f"/api/v1/places/{BAY}/acknowledge", {"of": "cautions"})
    bench.ask(f"/api/v1/places/{BAY}/start", {})
    bench.wait(lambda: (bench.place().get("amps_a") or 0.0) > 24.0, "25 A")


def stop_by_signal(bench: Bench) -> None:
    bench.daemon.send_signal(signal.SIGUSR1)
    off_s = bench.wait(lambda: "load off" in bench.posts(), "the load to be off")
    bench.wait(lambda: bench.place().get("activity") == "tripped", "a place that is latched")
    print(f"  stopped by a signal: off at the posts after {off_s:.2f} s, the daemon goes on")
    bench.ask(f"/api/v1/places/{BAY}/acknowledge", {"of": "trip"})


def kill_in_mid_discharge(bench: Bench) -> None:
    bench.tell_simulator(f"plug {BAY} cell:sound")
    bench.start_daemon()
    bench.wait(lambda: bench.url() and bench.place().get("activity") == "ready", "a ready bay")
    battery = {"serial": "KILL-1", "chemistry": "flooded", "cells": 6}
    drop_off = {"battery": battery, "procedures": ["reserve capacity"]}
    ticket = bench.ask("/api/v1/tickets", drop_off)["ticket"]
    bench.ask(f"/api/v1/tickets/{ticket}/move", {"place": BAY})
    draw(bench)
    stop_by_signal(bench)
    draw(bench)

    bench.daemon.kill()
    bench.daemon.wait()
    before = bench.posts()
    print(f"  killed in mid-discharge: {before}")
    if "load on" not in before:
        sys.exit("kill_test: nothing flowed when the daemon was killed, so this shows nothing")
    bench.start_daemon()
    off_s = bench.wait(lambda: "load off" in bench.posts(), "the load to be off")
    ready_s = off_s + bench.wait(lambda: bench.url() and bench.place().get("activity") == "ready",
                                 "off to be read back")
    print(f"  started again: off at the posts after {off_s:.2f} s, read back and ready after {ready_s:.2f} s")
    print(f"  {bench.posts()}")

    page = bench.ask(f"/api/v1/tickets/{ticket}")
    run = page["runs"][-1]
    queued = next(row for row in bench.ask("/api/v1/bench")["queue"] if row["ticket"] == ticket)
    print(f"  {ticket} is {queued['state']}: {queued['reason']}")
    print(f"  {run['run']}: {run['outcome']}; next: {queued['next']['procedure']}")
    if run["outcome"] != "void" or queued["state"] != "waiting" or page["findings"]:
        sys.exit("kill_test: the run is not void, the ticket not waiting, or a finding was kept")
    if queued["next"]["procedure"] != "reserve capacity":
        sys.exit("kill_test: the test is not planned again")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tree", type=Path)
    tree = parser.parse_args().tree.resolve()
    users = [("this user", [])]
    if os.geteuid() == 0:
        plain = ["setpriv", f"--reuid={PLAIN_USER}", f"--regid={PLAIN_USER}", "--clear-groups"]
        users = [("root", []), ("a plain user", plain)]
    for name, user in users:
        folder = Path(tempfile.mkdtemp(prefix="leadwright-kill-"))
        if user:
            os.chown(folder, PLAIN_USER, PLAIN_USER)
        print(f"as {name}:")
        bench = Bench(tree, folder, user)
        try:
            kill_in_mid_discharge(bench)
        finally:
            bench.end()
        shutil.rmtree(folder)
    print("killed and started again: as it should be")


if __name__ == "__main__":
    main()
