#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A Modbus unit played by pymodbus, with the registers of our generic profiles and nothing beside them.

Prints "ready" once it can be asked. Each access becomes a line of JSON in the log before it is answered:
what was written, in which order, is the evidence of the tests. Started by peers_wires.py.
"""

import argparse
import asyncio
import json
import struct
from pathlib import Path

from pymodbus.datastore import ModbusServerContext, ModbusSlaveContext, ModbusSparseDataBlock
from pymodbus.server import StartAsyncSerialServer, StartAsyncTcpServer
from pymodbus.transaction import ModbusRtuFramer, ModbusSocketFramer

UNIT = 1
BAUD = 19200
SPACES = {"coil": "co", "discrete": "di", "holding": "hr", "input": "ir"}
READS = (1, 2, 3, 4)
SPACE_OF_FUNCTION = {1: "coil", 2: "discrete", 3: "holding", 4: "input", 5: "coil", 6: "holding", 15: "coil",
                     16: "holding"}


def f32(value: float) -> list[int]:
    return list(struct.unpack(">HH", struct.pack(">f", value)))


# The addresses are those of config/profiles/generic_modbus_*.toml.
REGISTERS = {
    "charger": {"input": {0: [0x1234, 1], 100: f32(12.625) + f32(0.0)}, "holding": {10: [0, 0], 20: [0]},
                "coil": {0: [0]}, "discrete": {0: [0, 0, 0]}},
    "thermometer": {"input": {0: [0x1234, 2], 100: [253]}, "holding": {}, "coil": {}, "discrete": {}},
    "relay": {"input": {0: [0x1234, 3]}, "holding": {20: [0]}, "coil": {0: [0] * 8},
              "discrete": {0: [1, 0, 1, 0, 0, 0, 0, 1]}},
}


class LoggedUnit(ModbusSlaveContext):
    """Says what is read and written. A stuck unit acknowledges writes, and reads as it did before."""

    def __init__(self, registers: dict, log: Path, stuck: bool):
        super().__init__(zero_mode=True, **self.blocks(registers))
        self.as_before = ModbusSlaveContext(zero_mode=True, **self.blocks(registers)) if stuck else None
        self.log = log.open("a", encoding="utf-8", buffering=1)

    @staticmethod
    def blocks(registers: dict) -> dict:
        return {SPACES[space]: ModbusSparseDataBlock(values) for space, values in registers.items()}

    def note(self, do: str, function: int, address: int, values: list) -> None:
        access = {"do": do, "space": SPACE_OF_FUNCTION[function], "at": address,
                  "values": [int(value) for value in values]}
        self.log.write(json.dumps(access) + "\n")

    def getValues(self, fc_as_hex, address, count=1):
        is_read = fc_as_hex in READS  # a write reads its own values back for the answer
        if is_read and self.as_before:
            values = self.as_before.getValues(fc_as_hex, address, count)
        else:
            values = super().getValues(fc_as_hex, address, count)
        if is_read:
            self.note("read", fc_as_hex, address, values)
        return values

    def setValues(self, fc_as_hex, address, values):
        self.note("write", fc_as_hex, address, values)
        super().setValues(fc_as_hex, address, values)


def change(registers: dict, setting: str) -> None:
    """"input:100=16714,7864" puts words there; "input:100=" takes the register away."""
    place, _, words = setting.partition("=")
    space, address = place.split(":")
    at = int(address)
    flat = {start + i: value for start, values in registers[space].items() for i, value in enumerate(values)}
    if not words:
        del flat[at]
    for i, value in enumerate(words.split(",") if words else []):
        flat[at + i] = int(value)
    registers[space] = {key: [value] for key, value in flat.items()}


async def serve(options: argparse.Namespace) -> None:
    registers = REGISTERS[options.kind]
    for setting in options.set:
        change(registers, setting)
    unit = LoggedUnit(registers, options.log, options.stuck)
    context = ModbusServerContext(slaves={UNIT: unit}, single=False)
    if options.tcp:
        server = await StartAsyncTcpServer(context=context, framer=ModbusSocketFramer, defer_start=True,
                                           address=("127.0.0.1", options.tcp), allow_reuse_address=True)
        serving = asyncio.create_task(server.serve_forever())
        await server.serving
    else:
        # A pseudo-terminal keeps no parity.
        server = await StartAsyncSerialServer(context=context, framer=ModbusRtuFramer, defer_start=True,
                                              port=options.rtu, baudrate=BAUD, parity="N", stopbits=1)
        await server.start()
        serving = asyncio.create_task(server.serve_forever())
    print("ready", flush=True)
    await serving


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kind", choices=REGISTERS)
    parser.add_argument("--log", type=Path, required=True)
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("--tcp", type=int, help="port")
    where.add_argument("--rtu", help="serial device")
    parser.add_argument("--set", action="append", default=[], help="SPACE:ADDRESS=WORD,WORD")
    parser.add_argument("--stuck", action="store_true",
                        help="acknowledges writes, and reads as it did before")
    asyncio.run(serve(parser.parse_args()))


if __name__ == "__main__":
    main()
