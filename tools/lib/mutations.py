#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Would the seeds notice? Puts each deliberate defect of tests/mutations into a copy of the tree, builds
what simtest needs and runs seeds until one shows a violation. Prints a table; exit 1 if one stays unseen.

A patch begins with a line that says in words what it breaks. The copy and its build stay in
build/mutations, so that the next defect compiles what differs and no more."""

import argparse
import re
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
WORK = ROOT / "build" / "mutations"
TREE = WORK / "tree"
BUILD = TREE / "build" / "dev"  # as deep as every other, so that ccache knows what is the same


def run(*command: object, **options) -> subprocess.CompletedProcess:
    return subprocess.run([str(word) for word in command], text=True, check=False, **options)


def must(*command: object, **options) -> None:
    done = run(*command, capture_output=True, **options)
    if done.returncode != 0:
        sys.exit(f"mutations: {' '.join(str(word) for word in command)}:\n{done.stdout}{done.stderr}")


def copy_tree() -> None:
    """Only what differs gets a new time, so that only that is compiled."""
    TREE.mkdir(parents=True, exist_ok=True)
    listed = run("git", "-c", f"safe.directory={ROOT}", "ls-files", "-co", "--exclude-standard", "-z",
                 cwd=ROOT, capture_output=True)
    for name in listed.stdout.split("\0"):
        source = ROOT / name
        if not name or not source.is_file():
            continue
        target = TREE / name
        content = source.read_bytes()
        if not target.is_file() or target.read_bytes() != content:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)


def build() -> bool:
    if not (BUILD / "build.ninja").exists():
        must("cmake", "-S", TREE, "-B", BUILD, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
             "-DCMAKE_UNITY_BUILD=OFF")
    done = run("ninja", "-C", BUILD, "leadwright-simtest", capture_output=True)
    (WORK / "build.log").write_text(done.stdout + done.stderr, encoding="utf-8")
    return done.returncode == 0


def first_violation(seeds: str, hours: str) -> tuple[str, str]:
    """Seed and the promises that it broke, in that order; "none" where nothing was seen."""
    done = run(BUILD / "bin" / "leadwright-simtest", "--seeds", seeds, "--hours", hours, "--until-first",
               capture_output=True)
    found = re.findall(r"^seed (\d+)(?: at \S+ s)?: (the world \w+|\w+)", done.stdout, re.M)
    if not found:
        return "none", ""
    first = min((seed for seed, _ in found), key=int)
    return first, ", ".join(dict.fromkeys(said for seed, said in found if seed == first and said != "and"))


def main() -> int:
    parser = argparse.ArgumentParser(prog="tools/lib/mutations.py", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seeds", default="1..2000", help="as for tools/simtest (default: %(default)s)")
    parser.add_argument("--hours", default="0.5")
    parser.add_argument("names", nargs="*", help="of patches, without folder and ending (default: all)")
    asked = parser.parse_args()
    patches = sorted((ROOT / "tests" / "mutations").glob("*.patch"))
    if asked.names:
        patches = [patch for patch in patches if patch.stem in asked.names]
    unseen = 0
    print(f"{'defect':<26}{'seed':>6}  {'promises':<28}{'seconds':>8}  what it breaks", flush=True)
    for patch in patches:
        words = patch.read_text(encoding="utf-8").splitlines()[0]
        began = time.monotonic()
        copy_tree()
        must("patch", "-p1", "--no-backup-if-mismatch", "-i", patch, cwd=TREE)
        seed, promises = first_violation(asked.seeds, asked.hours) if build() else ("build", "fails")
        unseen += seed in ("none", "build")
        took = time.monotonic() - began
        print(f"{patch.stem:<26}{seed:>6}  {promises:<28}{took:>8.0f}  {words}", flush=True)
    copy_tree()
    print(f"{len(patches) - unseen} of {len(patches)} seen")
    return 1 if unseen else 0


if __name__ == "__main__":
    sys.exit(main())
