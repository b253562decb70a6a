#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Rehearses the reference traces and compares the minutes with the sidecars of the model that made them.

The program under test gets the CSV files alone, copied away from their sidecars.
"""

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path


def traces_of(folder: Path) -> list[Path]:
    """Every trace whose last step is 25 A: those of group A at 25 A, and groups B and E whole."""
    return [trace for group in ("A/*_25a.csv", "B/*.csv", "E/*.csv") for trace in sorted(folder.glob(group))]


def rehearse(leadwright: Path, traces: list[Path]) -> dict[str, dict]:
    with tempfile.TemporaryDirectory() as alone:
        copies = [shutil.copy(trace, alone) for trace in traces]
        run = subprocess.run([leadwright, "rehearse", "trace", *copies, "--json"],
                             stdout=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True, check=False)
    if run.returncode != 0:
        sys.exit(f"reference: leadwright rehearse trace ended with {run.returncode}")
    return {Path(answer["file"]).name: answer for answer in json.loads(run.stdout)}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("leadwright", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--within", type=float, default=1.0, metavar="PERCENT")
    wanted = parser.parse_args()
    traces = traces_of(wanted.folder)
    if not traces:
        sys.exit(f"reference: no traces below {wanted.folder}")
    answers = rehearse(wanted.leadwright, traces)
    outside = 0
    print(f"{'trace':<18}{'sidecar min':>12}{'found min':>12}{'off by %':>10}  end")
    for trace in traces:
        truth = json.loads(trace.with_suffix(".json").read_text(encoding="utf-8"))["minutes_to_cutoff"]
        answer = answers.get(trace.name, {})
        found = answer.get("reserve_capacity_min")
        off = None if found is None else 100.0 * (found - truth) / truth
        is_outside = off is None or abs(off) > wanted.within
        outside += is_outside
        shown = f"{'missing':>12}{'':>10}" if off is None else f"{found:>12.3f}{off:>+10.3f}"
        mark = "  OUTSIDE" if is_outside else ""
        print(f"{trace.name:<18}{truth:>12.3f}{shown}  {answer.get('end_reason', '')}{mark}")
    print(f"reference: {len(traces) - outside} of {len(traces)} within {wanted.within:g} %")
    return 1 if outside else 0


if __name__ == "__main__":
    sys.exit(main())
