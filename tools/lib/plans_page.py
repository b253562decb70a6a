#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes config/plans.md: every shipped procedure explained, and planned for three batteries at two bays.

A daemon of its own serves two bays that are wired to nothing: a plan needs the profiles alone. With --check
the page is compared and nothing is written; a page that differs is exit code 1.
"""

import argparse
import difflib
import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PATIENCE_S = 30.0
# Invented batteries: words for the page, and options of `leadwright procedure plan`.
BATTERIES = [
    ("A", "12 V flooded, 60 Ah, 540 A CCA, RC 100 min",
     ["--chemistry", "flooded", "--cells", "6", "--c20", "60 Ah", "--cca", "540 A", "--rc", "100 min"]),
    ("B", "12 V AGM, 70 Ah, 760 A CCA, no RC on its label",
     ["--chemistry", "agm", "--cells", "6", "--c20", "70 Ah", "--cca", "760 A"]),
    ("C", "6 V flooded block, 80 Ah, neither CCA nor RC on its label",
     ["--chemistry", "flooded", "--cells", "3", "--c20", "80 Ah"]),
]
# What becomes of the generic profiles at each bay.
BAYS = [
    ("bay-1", "load of 60 A, charger of 30 A, thermometer: the generic profiles as they are", {}),
    ("bay-2", "load of 400 A, charger of 50 A, thermometer: the same with wider ranges",
     {"load": ("60.0]", "400.0]"), "charger": ("range_a = [0.0, 30.0]", "range_a = [0.0, 50.0]")}),
]
ROLES = ("load", "charger", "thermometer")
# Shown as the client prints it.
EXAMPLE = ("half-CCA load test", 0, 0)


HEAD = """<!-- SPDX-License-Identifier: Apache-2.0 -->
# What each procedure does, and what it would do

Every shipped procedure as `leadwright procedure explain` tells it, and what `leadwright procedure plan`
says of it for three invented batteries at two bays. This page is written by `tools/lib/plans_page.py` from
the programs themselves, and the test `tools.plans` fails when it no longer says what they print.

"Expected" is a guess for planning the day; "at most" is proved: the run is ended there. What is most out of
or into the battery is what limits allow, not what is expected. An estimated variant has a larger
uncertainty. A refusal is told before anything is switched on.
"""


def config_of(folder: Path, config: Path) -> str:
    text = (f'schema = 1\n[web]\nport = 0\n'
            f'[folders]\nprocedures = "{config}/procedures"\nprofiles = "{config}/profiles"\n'
            f'[policy]\nfile = "{config}/policies/bench.toml"\n'
            f'[estimator]\nfile = "{config}/estimator.toml"\n'
            '[[place]]\nname = "shelf"\nkind = "shelf"\n')
    links = 0
    for name, _, changes in BAYS:
        text += f'[[place]]\nname = "{name}"\nkind = "bay"\nattended_only = false\n'
        for role in ROLES:
            profile = (config / f"profiles/generic_scpi_{role}.toml").read_text(encoding="utf-8")
            if role in changes:
                old, new = changes[role]
                if old not in profile:
                    sys.exit(f"plans_page: the generic {role} has no {old} any more")
                profile = profile.replace(old, new)
            file = folder / f"{name}.{role}.toml"
            file.write_text(profile, encoding="utf-8")
            # Port 1 of this host: nobody answers there.
            links += 1
            text += f'{role} = {{ profile = "{file}", link = "tcp:127.0.0.{links}:1" }}\n'
    return text


class Client:
    def __init__(self, program: Path, folder: Path, procedures: Path):
        self.program, self.state, self.procedures = program, folder / "state", procedures

    def call(self, *arguments: str, refused: bool = False) -> str:
        run = subprocess.run([self.program, "--state", self.state, *arguments], stdout=subprocess.PIPE,
                             stdin=subprocess.DEVNULL, text=True, check=False)
        if run.returncode not in ((0, 77) if refused else (0,)):
            said = f"{' '.join(arguments)} ended with {run.returncode}: {run.stdout}"
            sys.exit(f"plans_page: leadwright {said}")
        return run.stdout

    def names(self) -> list[str]:
        return sorted(each["procedure"] for each in json.loads(self.call("--json", "procedure", "list")))

    def explain(self, name: str) -> str:
        return self.call("procedure", "explain", name, "--folder", str(self.procedures))

    def plan(self, name: str, bay: str, battery: list[str], *options: str) -> str:
        return self.call(*options, "procedure", "plan", name, "--place", bay, *battery, refused=True)


def duration(seconds: float) -> str:
    return f"{seconds / 60:.3g} min" if seconds < 7200 else f"{seconds / 3600:.1f} h"


def moved(plan: dict, way: str) -> str:
    ah, wh = plan[f"{way}_max_ah"], plan[f"{way}_max_wh"]
    return f"{ah:.2g} Ah, {wh:.2g} Wh" if 0 < ah < 1 else f"{ah:.1f} Ah, {wh:.0f} Wh" if ah else "nothing"


def row_of(plan: dict) -> tuple[str, ...]:
    steps = plan["steps"]
    notes = [f'"{each["step"]}" as a variant, {each["estimated"]}' for each in steps if each["estimated"]]
    notes += [f'"{each["step"]}": {each["limited"]}' for each in steps if each["limited"]]
    notes += ["**refused**: " + each["what"] + (f' ({each["mend"]})' if each["mend"] else "")
              for each in plan["obstacles"]]
    return (duration(plan["expected_s"]), duration(plan["longest_s"]), moved(plan, "drawn"),
            moved(plan, "given"), "; ".join(notes) or "can run as written")


def table_of(client: Client, name: str) -> list[str]:
    lines = ["| battery | bay | expected | at most | most out of it | most into it | |",
             "| --- | --- | --- | --- | --- | --- | --- |"]
    for letter, _, battery in BATTERIES:
        rows = {bay: row_of(json.loads(client.plan(name, bay, battery, "--json"))) for bay, _, _ in BAYS}
        same = len(set(rows.values())) == 1
        for bay, row in list(rows.items())[:1 if same else None]:
            lines.append(f"| {letter} | {'both' if same else bay} | {' | '.join(row)} |")
    return lines


def page_of(client: Client) -> str:
    lines = [HEAD]
    lines += [f"- Battery {letter}: {words}." for letter, words, _ in BATTERIES]
    lines += [f"- {bay}: {words}." for bay, words, _ in BAYS]
    name, battery, bay = EXAMPLE
    lines += ["", f"One plan as printed: {name}, battery {BATTERIES[battery][0]}, {BAYS[bay][0]}.", "", "```",
              client.plan(name, BAYS[bay][0], BATTERIES[battery][2]).rstrip(), "```"]
    for name in client.names():
        lines += ["", f"## {name}", "", "```", client.explain(name).rstrip(), "```", ""]
        lines += table_of(client, name)
    return "\n".join(lines) + "\n"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("leadwright", type=Path)
    parser.add_argument("leadwrightd", type=Path)
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    wanted = parser.parse_args()
    config = Path(__file__).resolve().parents[2] / "config"
    page = config / "plans.md"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "leadwright.toml").write_text(config_of(folder, config), encoding="utf-8")
        with open(folder / "log", "wb") as log:
            daemon = subprocess.Popen([wanted.leadwrightd.resolve(), "--config", "leadwright.toml", "--state",
                                       "state"], cwd=folder, stdin=subprocess.DEVNULL, stdout=log, stderr=log)
        try:
            began = time.monotonic()
            while not (folder / "state/url").exists():
                if daemon.poll() is not None or time.monotonic() - began > PATIENCE_S:
                    sys.exit("plans_page: the daemon did not begin:\n" + (folder / "log").read_text())
                time.sleep(0.01)
            text = page_of(Client(wanted.leadwright.resolve(), folder, config / "procedures"))
        finally:
            daemon.terminate()
            daemon.wait()
    if not wanted.check:
        page.write_text(text, encoding="utf-8")
        return 0
    kept = page.read_text(encoding="utf-8") if page.exists() else ""
    sys.stdout.writelines(difflib.unified_diff(kept.splitlines(True), text.splitlines(True),
                                               "config/plans.md", "what the programs print"))
    if kept != text:
        print("plans_page: write it anew: tools/lib/plans_page.py build/release/bin/leadwright "
              "build/release/bin/leadwrightd")
    return int(kept != text)


if __name__ == "__main__":
    sys.exit(main())
