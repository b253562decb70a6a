# SPDX-License-Identifier: Apache-2.0
"""A name that was erased is in no answer, in no byte of the state folder and in no log, for contract.py."""

from pathlib import Path

from contract_calls import Caller


def everything_in(folder: Path) -> bytes:
    return b"".join(file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file())


def erase_name(caller: Caller, folder: Path, name: str) -> None:
    code = next(each["person"] for each in caller.good("person.list") if each["name"] == name)
    caller.expect(name.encode() in everything_in(folder / "state"), f"{name} was never kept")
    caller.good("person.erase", code)
    caller.refused("person.erase", 409, code)
    caller.expect({"person": code, "name": None} in caller.good("person.list"), f"{code} has a name")
    caller.expect(name.encode() not in everything_in(folder / "state"), f"{name} is still in the state")
    for log in folder.glob("*.log"):
        caller.expect(name not in log.read_text(encoding="utf-8"), f"{name} is in {log.name}")
    for verb in ("ticket.list", "bench"):
        caller.expect(name not in str(caller.good(verb)), f"{verb} still says {name}")
