#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Rehearses the reference traces and compares the minutes with the sidecars of the model that made them.

The program under test gets the CSV files alone, copied away from their sidecars.
"""

import argparse
import json
import math
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path


def traces_of(folder: Path) -> list[Path]:
    """Every trace whose last step is 25 A: those of group A at 25 A, and groups B and E whole."""
    return [trace for group in ("A/*_25a.csv", "B/*.csv", "E/*.csv") for trace in sorted(folder.glob(group))]


def rehearse(leadwright: Path, traces: list[Path], *more: str) -> dict[str, dict]:
    with tempfile.TemporaryDirectory() as alone:
        copies = [shutil.copy(trace, alone) for trace in traces]
        run = subprocess.run([leadwright, "rehearse", "trace", *copies, *more, "--json"],
                             stdout=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True, check=False)
    if run.returncode != 0:
        sys.exit(f"reference: leadwright rehearse trace ended with {run.returncode}")
    return {Path(answer["file"]).name: answer for answer in json.loads(run.stdout)}


def minutes_of(trace: Path) -> float:
    return json.loads(trace.with_suffix(".json").read_text(encoding="utf-8"))["minutes_to_cutoff"]


def covered_text(hits: int, trials: int) -> str:
    """Share with its 95 % interval by Wilson."""
    z2 = 1.96 ** 2
    share = hits / trials
    middle = (share + z2 / (2 * trials)) / (1 + z2 / trials)
    half = math.sqrt(z2 * share * (1 - share) / trials + z2 ** 2 / (4 * trials ** 2)) / (1 + z2 / trials)
    return f"{100 * share:.1f} % ({100 * (middle - half):.1f} to {100 * (middle + half):.1f})"


def with_instrument_errors(leadwright: Path, traces: list[Path], seeds: int) -> None:
    """Each trace once with every seed's instruments: what they add, and whether the stated u covers it."""
    off: dict[str, list[float]] = {}
    covered: dict[str, int] = {}
    for seed in range(1, seeds + 1):
        answers = rehearse(leadwright, traces, "--realistic", "--seed", str(seed))
        for trace in traces:
            group = trace.parent.name
            truth = minutes_of(trace)
            answer = answers[trace.name]
            found, u = answer["reserve_capacity_min"], answer["reserve_capacity_u_min"]
            off.setdefault(group, []).append(100.0 * (found - truth) / truth)
            covered[group] = covered.get(group, 0) + (abs(found - truth) <= 2.0 * u)
    print(f"{'group':<8}{'discharges':>11}{'bias %':>9}{'spread %':>10}  truth within +- 2 u of the meters")
    for group, all_off in off.items():
        mean, spread = statistics.mean(all_off), statistics.stdev(all_off)
        within = covered_text(covered[group], len(all_off))
        print(f"{group:<8}{len(all_off):>11}{mean:>+9.3f}{spread:>10.3f}  {within}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("leadwright", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--within", type=float, default=1.0, metavar="PERCENT")
    parser.add_argument("--seeds", type=int, default=0, metavar="N",
                        help="with the errors of simulated instruments instead, from seeds 1 to N")
    wanted = parser.parse_args()
    traces = traces_of(wanted.folder)
    if not traces:
        sys.exit(f"reference: no traces below {wanted.folder}")
    if wanted.seeds > 0:
        with_instrument_errors(wanted.leadwright, traces, wanted.seeds)
        return 0
    answers = rehearse(wanted.leadwright, traces)
    outside = 0
    print(f"{'trace':<18}{'sidecar min':>12}{'found min':>12}{'off by %':>10}  end")
    for trace in traces:
        truth = minutes_of(trace)
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
