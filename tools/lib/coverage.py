#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Which lines and branches the tests of build/coverage reached, folder by folder and file by file.

Asks gcov itself for JSON, since several sources compiled together and coroutines give it counts below zero
that other readers refuse. Branches that only an exception takes are left out. "of conditions" counts the
branches of lines that have a condition in the source: clean-up of temporaries and coroutine frames makes
branches that nobody wrote. An instance of a template counts with its best sister."""

import collections
import json
import multiprocessing
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
BUILD = ROOT / "build" / "coverage"
CONDITION = re.compile(r"\b(if|while|for|switch|case)\b|&&|\|\||\?")
LISTED_MAX = 25


def ask_gcov(counts: Path) -> list[dict]:
    done = subprocess.run(["gcov", "--branch-probabilities", "--json-format", "--stdout", counts],
                          capture_output=True, cwd=counts.parent, check=False)
    if done.returncode != 0:
        sys.exit(f"coverage: gcov could not read {counts}:\n{done.stderr.decode()}")
    return [entry for line in done.stdout.splitlines() if line.strip() for entry in json.loads(line)["files"]]


class File:
    """The counts of one source, summed over every object that holds it."""

    def __init__(self) -> None:
        self.lines = collections.Counter()
        self.branches: dict[tuple[int, str], list[int]] = {}

    def add(self, entry: dict) -> None:
        for line in entry["lines"]:
            number = line["line_number"]
            self.lines[number] += max(0, line["count"])
            taken = [max(0, branch["count"]) for branch in line["branches"] if not branch["throw"]]
            key = (number, line.get("function_name", ""))
            known = self.branches.setdefault(key, [])
            known.extend([0] * (len(taken) - len(known)))
            for place, count in enumerate(taken):
                known[place] += count

    def best_branches(self) -> dict[int, list[int]]:
        best: dict[int, list[int]] = {}
        for (number, _), taken in self.branches.items():
            known = best.setdefault(number, taken)
            if len(known) == len(taken):
                best[number] = [max(pair) for pair in zip(known, taken)]
            else:
                best[number] = max(known, taken, key=len)
        return best

    def missed(self) -> list[int]:
        return sorted(number for number, count in self.lines.items() if count == 0)


class Tally:
    def __init__(self) -> None:
        self.reached = collections.Counter()
        self.all = collections.Counter()

    def add(self, name: str, file: File) -> None:
        source = (ROOT / name).read_text(encoding="utf-8").split("\n")
        self.all["lines"] += len(file.lines)
        self.reached["lines"] += len(file.lines) - len(file.missed())
        for number, taken in file.best_branches().items():
            kinds = ["branches"]
            if number <= len(source) and CONDITION.search(source[number - 1]):
                kinds.append("conditions")
            for kind in kinds:
                self.all[kind] += len(taken)
                self.reached[kind] += sum(1 for count in taken if count)

    def share(self, kind: str) -> str:
        whole = self.all[kind]
        return f"{100 * self.reached[kind] / whole:5.1f} %" if whole else "      -"

    def row(self) -> str:
        counts = f"{self.reached['conditions']}/{self.all['conditions']}"
        return "  ".join(self.share(kind) for kind in ("lines", "branches", "conditions")) + f"  {counts:>11}"


def read(folders: list[str]) -> dict[str, File]:
    files: dict[str, File] = collections.defaultdict(File)
    counts = sorted(BUILD.rglob("*.gcda"))
    if not counts:
        sys.exit(f"coverage: no counts in {BUILD}: run tools/coverage")
    with multiprocessing.Pool() as pool:
        for entries in pool.imap(ask_gcov, counts):
            for entry in entries:
                path = (BUILD / entry["file"]).resolve()
                name = str(path.relative_to(ROOT)) if path.is_relative_to(ROOT) else ""
                if any(name.startswith(folder + "/") for folder in folders):
                    files[name].add(entry)
    return files


def main() -> None:
    folders = sys.argv[1:]
    files = read(folders)
    print("  lines  branches  of conditions")
    for folder in folders:
        inside = {name: file for name, file in sorted(files.items()) if name.startswith(folder + "/")}
        whole = Tally()
        for name, file in inside.items():
            own = Tally()
            for tally in (own, whole):
                tally.add(name, file)
            missed = file.missed()
            shown = " ".join(str(number) for number in missed[:LISTED_MAX])
            more = " ..." if len(missed) > LISTED_MAX else ""
            print(f"{own.row()}  {name}" + (f": not reached {shown}{more}" if missed else ""))
        print(f"{whole.row()}  = {folder}")


if __name__ == "__main__":
    main()
