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
from contract_calls import NO_SUCH, Caller  # noqa: E402
from contract_counter import conditions, hydrometer  # noqa: E402
from contract_people import erase_name  # noqa: E402
from contract_photos import photos  # noqa: E402
from kill_test import BAY, Bench  # noqa: E402

LOAD = f"{BAY}.load"
SHELF = "shelf"
PART = "EX-60-FL"
SECOND = "Xenia Second"


def clamp_on(bench: Bench, battery: str) -> None:
    bench.tell_simulator(f"unplug {BAY}")
    said = bench.tell_simulator(f"plug {BAY} {battery}")
    if not said.startswith("ok"):
        sys.exit(f"contract: benchsim does not take {battery}: {said}")


def reads(caller: Caller) -> None:
    caller.good("session.show")
    caller.good("session.begin")
    caller.good("session.end")
    for operation in ("health", "metrics", "openapi", "bench", "ticket.list", "place.list", "procedure.list",
                      "instrument.list"):
        caller.good(operation)
    caller.good_stream("events")
    caller.good("instrument.show", LOAD)
    caller.good("part.show", PART)


def counter(caller: Caller) -> str:
    ticket = caller.good("ticket.add")["ticket"]
    caller.good("ticket.show", ticket)
    hydrometer(caller)
    caller.good("ticket.list", query="state=received")
    caller.good("procedure.plan", "reserve capacity")
    caller.good("fitting.check")
    caller.good("fitting.check", body={"ticket": ticket, "after": {"monitor_age_days": 1, "running_v": 14.2}})
    caller.refused("fitting.check", 404, body={"ticket": NO_SUCH["ticket"]})
    caller.good("ticket.move", ticket, {"place": BAY})
    caller.good("ticket.hold", ticket)
    caller.good("ticket.recheck", ticket)
    caller.refused("ticket.recheck", 409, ticket)
    caller.good("ticket.inspect", ticket)
    caller.refused("certificate.pdf", 409, ticket)
    caller.good("code.svg", ticket)
    return ticket


def keys(caller: Caller, bench: Bench) -> None:
    """A creation that is asked for again, before and after a restart, creates nothing."""
    key = {"Idempotency-Key": "contract-1"}
    battery = {"battery": {"serial": "TWICE-1", "chemistry": "efb", "cells": 6}}
    first = caller.ask("ticket.add", body=battery, more=key)
    again = caller.ask("ticket.add", body=battery, more=key)
    caller.expect((first.status, first.body) == (again.status, again.body), f"asked again: {again.body!r}")
    caller.expect(caller.ask("ticket.add", more=key).status == 422, "another body with the same key")
    restart(caller, bench)
    later = caller.ask("ticket.add", body=battery, more=key)
    caller.expect(later.body == first.body, f"asked again after a restart: {later.body!r}")


def pages(caller: Caller) -> None:
    for number in range(3):
        battery = {"serial": f"SHELF-{number}", "chemistry": "efb", "cells": 6}
        ticket = caller.good("ticket.add", body={"battery": battery})["ticket"]
        caller.good("ticket.move", ticket, {"place": SHELF})
    seen, query = [], "limit=1&state=waiting"
    while query:
        answer = caller.ask("ticket.list", query=query)
        seen += [each["ticket"] for each in answer.value()]
        query = answer.headers.get("Link", "").partition("?")[2].partition(">")[0]
    waiting = [each["ticket"] for each in caller.good("ticket.list", query="state=waiting")]
    caller.expect(seen == waiting and len(seen) > 1, f"page by page {seen}, at once {waiting}")
    for query in ("limit=0", "limit=501", "limit=x", "cursor=x", "limit=1&limit=2"):
        caller.refused("ticket.list", 400, query=query)


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


def overrides(caller: Caller, bench: Bench) -> None:
    """After a look alone its letter is U; two persons set another one."""
    clamp_on(bench, "cell:sound")
    battery = {"serial": "LOOK-1", "chemistry": "flooded", "cells": 6}
    ticket = caller.good("ticket.add", body={"battery": battery, "procedures": ["intake check"]})["ticket"]
    caller.refused("ticket.override", 409, ticket)
    caller.good("ticket.move", ticket, {"place": BAY})
    caller.good("place.start", BAY)
    bench.wait(lambda: bench.ask(f"/api/v1/tickets/{ticket}")["ticket"]["state"] == "graded", "a grade")
    caller.refused("ticket.override.confirm", 409, ticket)
    caller.refused("ticket.override", 400, ticket, {"letter": "F", "why": "no person finds a fault"})
    caller.good("ticket.override", ticket)
    caller.good("bench")
    caller.good("ticket.override.withdraw", ticket)
    caller.refused("ticket.override.withdraw", 409, ticket)
    caller.good("ticket.override", ticket)
    caller.refused("ticket.override.confirm", 409, ticket)
    caller.actor = SECOND
    caller.refused("ticket.override.confirm", 409, ticket, {"letter": "B"})
    confirmed = caller.good("ticket.override.confirm", ticket)
    caller.actor = "contract"
    page = caller.good("ticket.show", ticket)
    caller.expect((page["letter"], page["grade"]["letter"]) == (confirmed["letter"], "U"),
                  f"another letter stands: {page['letter']}")
    restart(caller, bench)
    caller.expect(caller.good("ticket.show", ticket) == page, "a restart changed an override")
    bench.wait(lambda: bench.place().get("activity") == "ready", "a ready place")
    caller.good("place.acknowledge", BAY)
    caller.good("ticket.move", ticket, {"place": SHELF})


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
    caller.refused("ticket.override", 409, ticket)
    # It is drawn out of the store, which may learn of the grade a moment later than the bench shows it.
    bench.wait(lambda: caller.ask("certificate.pdf", ticket).status == 200, "a certificate")
    caller.good("certificate.pdf", ticket)
    caller.good("certificate.svg", ticket)


def restart(caller: Caller, bench: Bench, settings: str = "") -> None:
    bench.daemon.kill()
    bench.daemon.wait()
    if settings:
        file = bench.folder / "leadwright.toml"
        file.write_text(file.read_text(encoding="utf-8").replace("[web]\n", f"[web]\n{settings}\n"),
                        encoding="utf-8")
    bench.start_daemon()
    bench.wait(lambda: bench.url() and caller.reach(bench.url()).is_up(), "the daemon")


def tokens(caller: Caller, bench: Bench) -> None:
    """Each operation without a token, with one that was revoked, and with a rank that is too low."""
    ranks = ("viewer", "operator", "supervisor")
    held = {rank: bench.client("token", "add", f"the-{rank}", "--rank", rank).strip() for rank in ranks}
    gone = bench.client("token", "add", "gone", "--rank", "supervisor").strip()
    bench.client("token", "revoke", "gone")
    restart(caller, bench, 'access = "tokens"')
    for name, operation in caller.document.operations.items():
        needs = operation.needs()
        if needs is None:
            continue
        subject = NO_SUCH[operation.holes[0]] if operation.holes else None
        for token in ("", gone, "lwt_" + "A" * 43):
            caller.token = token
            caller.refused(name, 401, subject, why="unauthorised")
        for rank in ranks[:ranks.index(needs)]:
            caller.token = held[rank]
            caller.refused(name, 403, subject, why="unauthorised")
    caller.token = held["operator"]
    caller.expect(caller.good("session.show")["holder"] == "the-operator", "the session has another holder")
    kept = caller.ask("session.begin").headers.get("Set-Cookie", "")
    caller.token = ""
    answer = caller.ask("bench", more={"Cookie": kept.partition(";")[0]})
    caller.expect(answer.status == 200, f"a token in a cookie: {answer.status}")


def check(bench: Bench) -> Caller:
    clamp_on(bench, "cell:sound")
    with open(bench.folder / "leadwright.toml", "a", encoding="utf-8") as file:
        file.write('[alarm]\ncommand = ["/bin/true"]\n')
        file.write(f'[parts]\nfile = "{bench.tree}/config/demo/parts.csv"\n')
    bench.start_daemon()
    bench.wait(lambda: bench.url() and bench.place().get("activity") == "ready", "a ready bay")
    caller = Caller(bench.url())
    caller.document = Document(caller.fetch_document())
    caller.document.lint()
    reads(caller)
    ticket = counter(caller)
    photo = photos(caller, ticket, lambda: restart(caller, bench))
    bench.wait(lambda: bench.place().get("activity") == "ready", "a ready bay")
    caller.bad_requests({"ticket": ticket, "photo": photo, "place": BAY, "instrument": LOAD,
                         "run": "R-000001", "procedure": "reserve capacity", "part": PART,
                         "person": "P-1"})
    conditions(caller, ticket)
    draw(caller, bench, ticket)
    charge(caller, bench)
    pages(caller)
    overrides(caller, bench)
    erase_name(caller, bench.folder, SECOND)
    certificate(caller, bench)
    keys(caller, bench)
    tokens(caller, bench)
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
