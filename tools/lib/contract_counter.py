# SPDX-License-Identifier: Apache-2.0
"""Tickets at the counter, for contract.py: a look with a hydrometer, and answers that have not changed."""

from contract_calls import Caller


def hydrometer(caller: Caller) -> None:
    """What is read in opened cells becomes findings at once; of a sealed battery it is refused."""
    look = {"acid": {"gravity": [1.262, 1.26, 1.19, 1.26, None, 1.26], "acid_degc": 24}}
    battery = {"serial": "CAPS-1", "chemistry": "flooded", "cells": 6}
    ticket = caller.good("ticket.add", body={"battery": battery, "inspection": look})["ticket"]
    page = caller.good("ticket.show", ticket)
    found = {each["measurand"] for each in page["findings"]}
    expected = {"acid_gravity_sg", "acid_spread_sg", "acid_cell_below_sg", "soc_by_acid_1"}
    caller.expect(expected <= found, f"of acid only {found}")
    caller.good("ticket.inspect", ticket, look)
    caller.refused("ticket.inspect", 400, ticket, {"acid": {"gravity": [126], "acid_degc": 24}})
    sealed = {**battery, "serial": "SEALED-1", "chemistry": "agm"}
    caller.refused("ticket.add", 400, body={"battery": sealed, "inspection": look})


def conditions(caller: Caller, ticket: str) -> None:
    """What is unchanged is not sent again, and what has changed is not changed by who has not seen it."""
    for operation, subject in (("ticket.show", ticket), ("ticket.list", None), ("place.list", None),
                               ("procedure.list", None), ("openapi", None)):
        tag = caller.ask(operation, subject).headers["ETag"]
        again = caller.ask(operation, subject, more={"If-None-Match": f'"other", {tag}'})
        caller.expect(again.status == 304 and not again.body, f"{operation}: {again.status} for the same")
    tag = caller.ask("ticket.show", ticket).headers["ETag"]
    held = caller.ask("ticket.hold", ticket, more={"If-Match": tag}).status
    caller.expect(held == 200, f"hold with its tag: {held}")
    late = caller.ask("ticket.recheck", ticket, more={"If-Match": tag})
    caller.expect(late.status == 412, f"ticket.recheck with an old tag: {late.status}")
    caller.good("ticket.recheck", ticket)
