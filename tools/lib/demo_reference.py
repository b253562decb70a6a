#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Compares the demo's replayed batteries with their sidecars: over pseudo-terminals, with instrument errors.

Asks the daemon at LEADWRIGHT_URL. A measured reserve capacity must be within 1 % of the sidecar's minutes, or
within its own stated expanded uncertainty (k = 2) where that is larger.
"""

import json
import os
import sys
import tomllib
import urllib.request
from pathlib import Path


def ask(path: str):
    with urllib.request.urlopen(os.environ["LEADWRIGHT_URL"] + path, timeout=10) as reply:
        return json.load(reply)


def replays(scenario: Path) -> dict[str, Path]:
    """Sidecar by serial, for each battery that follows a trace."""
    batteries = tomllib.loads(scenario.read_text(encoding="utf-8"))["battery"]
    kind, found = "replay:", {}
    for battery in batteries:
        if battery["simulated"].startswith(kind):
            trace = scenario.parent / battery["simulated"][len(kind):]
            found[battery["label"]["serial"]] = trace.with_suffix(".json")
    return found


def main() -> int:
    sidecars = replays(Path(sys.argv[1]))
    outside = 0
    for ticket in ask("/api/v1/tickets"):
        page = ask(f"/api/v1/tickets/{ticket['ticket']}")
        sidecar = sidecars.pop(page["battery"]["serial"], None)
        if sidecar is None:
            continue
        truth = json.loads(sidecar.read_text(encoding="utf-8"))["minutes_to_cutoff"]
        measured = [each for each in page["findings"] if each["measurand"] == "reserve_capacity_min"]
        if not measured:
            print(f"{sidecar.stem}: no reserve capacity was measured")
            outside += 1
            continue
        value, expanded = measured[-1]["value"], 2.0 * measured[-1]["u"]
        allowed = max(0.01 * truth, expanded)
        verdict = "within" if abs(value - truth) <= allowed else "OUTSIDE"
        outside += verdict == "OUTSIDE"
        off = 100.0 * (value - truth) / truth
        print(f"{sidecar.stem}: measured {value:.2f} min +- {expanded:.2f} (k = 2), sidecar {truth:.2f} min, "
              f"off by {off:+.2f} %: {verdict} {allowed:.2f} min")
    for sidecar in sidecars.values():
        print(f"{sidecar.stem}: no ticket")
    return 1 if outside or sidecars else 0


if __name__ == "__main__":
    sys.exit(main())
