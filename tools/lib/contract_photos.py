# SPDX-License-Identifier: Apache-2.0
"""Photos of a ticket, asked of the real daemon for contract.py."""

from collections.abc import Callable

from contract_calls import Caller


def photos(caller: Caller, ticket: str, restart: Callable[[], None]) -> str:
    """The same picture comes back, after a restart too, and not after its erasure."""
    kept = caller.good("ticket.photo", ticket)
    jpeg = caller.document.operations["ticket.photo"].example["jpeg"]
    gone = caller.good("ticket.photo", ticket, {"jpeg": jpeg})
    caller.refused("ticket.photo", 400, ticket, {"jpeg": "aGVsbG8="})
    caller.refused("ticket.photo", 400, ticket, {"jpeg": "no base64"})
    caller.good("photo.show", kept["photo"])
    picture = caller.ask("photo.show", kept["photo"]).body
    caller.expect(len(picture) == kept["bytes"], f"{len(picture)} bytes of {kept['bytes']}")
    caller.good("photo.erase", gone["photo"])
    caller.refused("photo.erase", 409, gone["photo"])
    caller.refused("photo.show", 404, gone["photo"])
    restart()
    caller.refused("photo.show", 404, gone["photo"])
    caller.expect(caller.ask("photo.show", kept["photo"]).body == picture, "a restart changed a photo")
    shown = caller.good("ticket.show", ticket)["photos"]
    caller.expect([each["bytes"] > 0 for each in shown] == [True, False], f"photos of the ticket: {shown}")
    return kept["photo"]
