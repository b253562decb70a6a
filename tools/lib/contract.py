#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Does the daemon do what its OpenAPI document says? contract.py TREE [PROGRAMS]

Lints the document, then asks the real daemon, over a simulated bench, for every operation in it: with a good,
a bad and an unauthorised request, and each required key of a body left out. Each answer's status, media type
and body must be in the document. Exit 1 with every difference.
"""

import argparse
import shutil
import sys
import tempfile
from pathlib import Path

sys.dont_write_bytecode = True
sys.path.insert(0, str(Path(__file__).resolve().parent))
from contract_document import Document  # noqa: E402
from contract_calls import Caller  # noqa: E402
from kill_test import BAY, Bench  # noqa: E402

LOAD = f"{BAY}.load"
SHELF = "shelf"


def clamp_on(bench: Bench, battery: str) -> None:
    bench.tell_simulator(f"unplug {BAY}")
    said = bench.tell_simulator(f"plug {BAY} {battery}")
    if not said.startswith("ok"):
        sys.exit(f"contract: benchsim does not take {battery}: {said}")


def reads(caller: Caller) -> None:
    for operation in ("health", "metrics", "openapi", "bench", "ticket.list", "place.list", "procedure.list",
                      "instrument.list"):
        caller.good(operation)
    caller.good_stream("events")
    caller.good("instrument.show", LOAD)


def counter(caller: Caller) -> str:
    ticket = caller.good("ticket.add")["ticket"]
    caller.good("ticket.show", ticket)
    caller.good("ticket.list", query="state=received")
    caller.good("procedure.plan", "reserve capacity")
    caller.good("ticket.move", ticket, {"place": BAY})
    caller.good("ticket.hold", ticket)
    caller.good("ticket.recheck", ticket)
    caller.refused("ticket.recheck", 409, ticket)
    caller.refused("certificate.pdf", 409, ticket)
    return ticket


def draw(caller: Caller, bench: Bench, ticket: str) -> None:
    caller.good("instrument.trace.set", LOAD)
    caller.refused("place.start", 409, BAY)
    caller.good("place.acknowledge", BAY)
    caller.good("place.start", BAY)
    bench.wait(lambda: (bench.place().get("amps_a") or 0.0) > 24.0, "25 A")
    caller.good("bench")
    caller.good_stream("events")
    run = caller.good("run.trace", going_on(caller, ticket))["run"]
    caller.refused("place.pause", 409, BAY)
    caller.good("place.stop", BAY)
    bench.wait(lambda: bench.place().get("activity") == "ready", "a place that has stopped")
    caller.refused("place.stop", 409, BAY)
    caller.good("run.trace", run, query="every=2")
    caller.good("instrument.trace", LOAD, query="after=3")
    caller.good("ticket.show", ticket)
    caller.good("ticket.move", ticket, {"place": SHELF, "why": "it goes back"})
    caller.good("ticket.close", ticket, {"as": "scrapped", "why": "too old"})
    caller.refused("ticket.close", 409, ticket)


def charge(caller: Caller, bench: Bench) -> None:
    clamp_on(bench, "cell:discharged")
    battery = {"serial": "EMPTY-1", "chemistry": "agm", "cells": 6, "c20_ah": 60}
    ticket = caller.good("ticket.add", body={"battery": battery, "procedures": ["standard charge"]})["ticket"]
    caller.good("ticket.move", ticket, {"place": BAY})
    caller.good("place.start", BAY)
    bench.wait(lambda: abs(bench.place().get("amps_a") or 0.0) > 1.0, "a charge")
    caller.good("place.pause", BAY)
    bench.wait(lambda: abs(bench.place().get("amps_a") or 0.0) < 0.1, "a pause")
    caller.good("place.resume", BAY)
    caller.good("alarm.test")
    caller.good("stop.all")
    bench.wait(lambda: bench.place().get("activity") == "tripped", "a bench that is off")
    caller.good("bench")
    caller.good("place.acknowledge", BAY, {"of": "trip"})
    bench.wait(lambda: bench.place().get("activity") == "ready", "a ready place")
    caller.good("place.out_of_service", BAY)
    caller.good("place.in_service", BAY)
    bench.wait(lambda: bench.place().get("activity") == "ready", "a ready place")
    caller.good("ticket.move", ticket, {"place": SHELF, "why": "it goes back"})


def going_on(caller: Caller, ticket: str) -> str:
    """The run that goes on is not among the ticket's yet: it has the next number."""
    runs = caller.good("ticket.show", ticket)["runs"]
    return f"R-{len(runs) + 1:06d}"


def certificate(caller: Caller, bench: Bench) -> None:
    """A battery that collapses under a light draw is graded at once, once the clamps were reseated."""
    clamp_on(bench, "cell:open")
    battery = {"serial": "FAULTY-1", "chemistry": "flooded", "cells": 6}
    ticket = caller.good("ticket.add", body={"battery": battery})["ticket"]
    caller.good("ticket.move", ticket, {"place": BAY})
    caller.good("place.start", BAY)
    bench.wait(lambda: (bench.place().get("ask") or {}).get("of") == "clamps", "a question about the clamps")
    caller.good("place.acknowledge", BAY, {"of": "clamps"})
    caller.good("place.start", BAY)
    bench.wait(lambda: bench.ask(f"/api/v1/tickets/{ticket}")["grade"], "a grade")
    caller.good("ticket.show", ticket)
    # It is drawn out of the store, which may learn of the grade a moment later than the bench shows it.
    bench.wait(lambda: caller.ask("certificate.pdf", ticket).status == 200, "a certificate")
    caller.good("certificate.pdf", ticket)
    caller.good("certificate.svg", ticket)


def check(bench: Bench) -> Caller:
    clamp_on(bench, "cell:sound")
    with open(bench.folder / "leadwright.toml", "a", encoding="utf-8") as file:
        file.write('[alarm]\ncommand = ["/bin/true"]\n')
    bench.start_daemon()
    bench.wait(lambda: bench.url() and bench.place().get("activity") == "ready", "a ready bay")
    caller = Caller(bench.url())
    caller.document = Document(caller.fetch_document())
    caller.document.lint()
    reads(caller)
    ticket = counter(caller)
    caller.bad_requests({"ticket": ticket, "place": BAY, "instrument": LOAD, "run": "R-000001",
                         "procedure": "reserve capacity"})
    draw(caller, bench, ticket)
    charge(caller, bench)
    certificate(caller, bench)
    caller.all_asked()
    return caller


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tree", type=Path)
    parser.add_argument("programs", type=Path, nargs="?")
    options = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="leadwright-contract-"))
    programs = options.programs.resolve() if options.programs else None
    bench = Bench(options.tree.resolve(), folder, [], programs)
    try:
        caller = check(bench)
    finally:
        bench.end()
    differences = caller.document.differences + caller.differences
    for difference in differences:
        print(f"contract: {difference}")
    if differences:
        sys.exit(f"contract: {len(differences)} differences (logs in {folder})")
    shutil.rmtree(folder)
    operations = len(caller.document.operations)
    print(f"contract: {caller.count} answers to {operations} operations are as documented")


if __name__ == "__main__":
    main()
