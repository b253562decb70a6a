#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Outside peers talk to benchsim: is the device's side of our simulated instruments honest?

pymodbus and mbpoll speak Modbus to a pseudo-terminal (RTU) and to a TCP port, PyVISA speaks SCPI to a TCP port. A peer
that is not there is named ("not run: NAME: reason"), and is a failure only with --require-all. Exit 1 if any test
fails.
"""

import argparse
import contextlib
import importlib.util
import os
import shutil
import struct
import subprocess
import sys
import tempfile
import time
import unittest
from pathlib import Path

DEBIAN_PYTHON = "/usr/bin/python3"
PATIENCE_S = 10.0
TIMEOUT_S = 1  # whole seconds: pymodbus 3.0 rounds down
READS = 200

# tools/benchsim/sim_registers.h
MAKER, CHARGER, RELAY_BOX = 0x4C57, 1, 4
VOLTS, AMPS, WATCHDOG = 10, 11, 20
SAMPLE = 100
ON, RESTARTED = 0, 8

not_run: list[str] = []


class Simulator:
    """benchsim in a folder of its own."""

    def __init__(self, programs: Path):
        self.program = programs / "benchsim"
        self.folder = Path(tempfile.mkdtemp(prefix="leadwright-peers-"))
        self.process = subprocess.Popen(
            [self.program, "--state", self.folder, "--bays", "1", "--charging-places", "1", "--ideal", "--tcp",
             "--chargers", "modbus", "--relay-boxes", "1", "--wire", "box-1.0 isolates charge-1"],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
        if self.process.stdout.readline().strip() != "ready":
            sys.exit("peers_sim: benchsim did not start")
        self.ask("plug bay-1 cell:sound,charged=0.5")
        rows = (self.folder / "ports.txt").read_text(encoding="utf-8").split("\n")
        self.ports = {name: int(port) for name, port in (row.split() for row in rows if row)}

    def line(self, name: str) -> str:
        return str((self.folder / "lines" / name).resolve())

    def ask(self, command: str) -> str:
        asked = subprocess.run([self.program, "ask", "--state", self.folder, command], capture_output=True, text=True,
                               timeout=PATIENCE_S, check=True)
        return asked.stdout.strip()

    def break_charger(self, test: unittest.TestCase, fault: str) -> None:
        """Until the end of the test, or until it is mended."""
        test.addCleanup(self.ask, f"fault bay-1.charger {fault} off")
        self.ask(f"fault bay-1.charger {fault} on")

    def end(self) -> None:
        self.process.terminate()
        self.process.wait(PATIENCE_S)
        self.process.stdout.close()
        shutil.rmtree(self.folder)


simulator: Simulator


def f32(words: list[int]) -> float:
    return struct.unpack(">f", struct.pack(">HH", *words))[0]


class PymodbusTests:
    """What holds for RTU and TCP alike."""

    def setUp(self):
        self.client = self.connect("bay-1.charger")

    def tearDown(self):
        self.client.close()

    def good(self, answer):
        self.assertFalse(answer.isError(), str(answer))
        return answer

    def words(self, at: int, count: int) -> list[int]:
        return self.good(self.client.read_input_registers(at, count, slave=1)).registers

    def test_identity_and_scale(self):
        words = self.words(0, 5)
        self.assertEqual(words[:2], [MAKER, CHARGER])
        self.assertEqual(f32(words[3:5]), 1.0)

    def test_registers_are_written_one_by_one_and_together_and_read_back(self):
        self.good(self.client.write_register(VOLTS, 1380, slave=1))
        self.good(self.client.write_registers(VOLTS, [1440, 500], slave=1))
        self.assertEqual(self.good(self.client.read_holding_registers(VOLTS, 2, slave=1)).registers, [1440, 500])
        exchanged = self.client.readwrite_registers(read_address=VOLTS, read_count=2, write_address=AMPS,
                                                    write_registers=[700], unit=1)  # pymodbus 3.0's name for it
        self.assertEqual(self.good(exchanged).registers, [1440, 700])

    def test_current_flows_and_is_measured(self):
        self.good(self.client.write_registers(VOLTS, [1440, 500], slave=1))
        self.good(self.client.write_coil(ON, True, slave=1))
        self.assertTrue(self.good(self.client.read_coils(ON, 1, slave=1)).bits[0])
        words = self.words(SAMPLE, 4)
        self.assertAlmostEqual(f32(words[2:]), 5.0, places=2)
        self.assertIn("charger on 5.000 A", simulator.ask("posts bay-1"))
        self.good(self.client.write_coil(ON, False, slave=1))
        self.assertEqual(f32(self.words(SAMPLE, 4)[2:]), 0.0)

    def test_relays_are_switched_together_and_show_their_contacts(self):
        box = self.connect("box-1")
        with contextlib.closing(box):
            self.assertEqual(self.good(box.read_input_registers(1, 1, slave=1)).registers, [RELAY_BOX])
            self.good(box.write_coils(0, [True, False, True, False, False, False, False, True], slave=1))
            contacts = self.good(box.read_discrete_inputs(8, 8, slave=1)).bits[:8]
            self.assertEqual(contacts, [True, False, True, False, False, False, False, True])
            self.good(box.write_coils(0, [False] * 8, slave=1))
            self.assertFalse(any(self.good(box.read_coils(0, 8, slave=1)).bits))

    def test_exceptions_name_address_and_value(self):
        self.assertEqual(self.client.read_holding_registers(50, 1, slave=1).exception_code, 2)
        self.assertEqual(self.client.write_register(VOLTS, 60000, slave=1).exception_code, 3)
        simulator.break_charger(self, "busy")
        self.assertEqual(self.client.read_input_registers(0, 1, slave=1).exception_code, 6)

    def test_silence_times_out_and_the_next_exchange_is_good(self):
        simulator.break_charger(self, "no_answer")
        began = time.monotonic()
        self.assertTrue(self.client.read_input_registers(0, 1, slave=1).isError())
        self.assertGreater(time.monotonic() - began, 0.5 * TIMEOUT_S)
        simulator.ask("fault bay-1.charger no_answer off")
        if not self.client.connected:
            self.client.connect()
        self.assertEqual(self.words(0, 1), [MAKER])

    def test_many_reads_without_an_error(self):
        began = time.monotonic()
        for _ in range(READS):
            self.assertEqual(self.words(0, 2), [MAKER, CHARGER])
        print(f"  {type(self).__name__}: {READS} reads, "
              f"{(time.monotonic() - began) / READS * 1e3:.2f} ms each", file=sys.stderr)


class PymodbusRtu(PymodbusTests, unittest.TestCase):
    def connect(self, name: str):
        from pymodbus.client import ModbusSerialClient
        client = ModbusSerialClient(port=simulator.line(name), baudrate=19200, parity="N", stopbits=1,
                                    timeout=TIMEOUT_S, retries=0)
        self.assertTrue(client.connect())
        return client

    def test_another_unit_is_not_answered(self):
        self.assertTrue(self.client.read_input_registers(0, 1, slave=2).isError())

    def test_a_flipped_bit_is_not_answered_and_the_next_exchange_is_good(self):
        simulator.ask("cable bay-1.charger flipped 17 question")
        self.assertTrue(self.client.read_input_registers(0, 1, slave=1).isError())
        if not self.client.connected:
            self.client.connect()
        self.assertEqual(self.words(0, 1), [MAKER])

    def test_a_broadcast_is_obeyed_and_not_answered(self):
        from pymodbus.client import ModbusSerialClient
        self.good(self.client.write_coil(RESTARTED, True, slave=1))
        self.client.close()
        client = ModbusSerialClient(port=simulator.line("bay-1.charger"), baudrate=19200, parity="N", stopbits=1,
                                    timeout=TIMEOUT_S, retries=0, broadcast_enable=True)
        with contextlib.closing(client):
            client.connect()
            client.write_register(VOLTS, 1234, slave=0)
            time.sleep(0.1)
            self.assertEqual(client.read_holding_registers(VOLTS, 1, slave=1).registers, [1234])


class PymodbusTcp(PymodbusTests, unittest.TestCase):
    def connect(self, name: str):
        from pymodbus.client import ModbusTcpClient
        client = ModbusTcpClient("127.0.0.1", port=simulator.ports[name + ".tcp"], timeout=TIMEOUT_S, retries=0)
        self.assertTrue(client.connect())
        return client

    def test_another_unit_is_answered_as_by_a_gateway(self):
        self.assertEqual(self.client.read_input_registers(0, 1, slave=2).exception_code, 0x0B)


class MbpollTests:
    def poll(self, *options: str, write: tuple[str, ...] = (),
             line: str = "bay-1.charger") -> subprocess.CompletedProcess:
        command = ["mbpoll", *self.way(line), "-a", "1", "-0", "-1", "-q", *options, self.where(line), *write]
        return subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_S, check=False)

    def test_reads_identity(self):
        polled = self.poll("-r", "0", "-c", "2", "-t", "3:hex")
        self.assertEqual(polled.returncode, 0, polled.stderr)
        self.assertIn("0x4C57", polled.stdout)

    def test_writes_a_register_and_reads_it_back(self):
        written = self.poll("-r", str(VOLTS), "-t", "4", write=("1350",))
        self.assertEqual(written.returncode, 0, written.stderr)
        self.assertIn("1350", self.poll("-r", str(VOLTS), "-c", "1", "-t", "4").stdout)

    def test_reads_a_float_as_big_endian_words(self):
        polled = self.poll("-r", "3", "-c", "1", "-t", "3:float", "-B")
        self.assertRegex(polled.stdout, r"\[3\]:\s+1\s")

    def test_switches_a_relay(self):
        self.assertEqual(self.poll("-r", "5", "-t", "0", write=("1",), line="box-1").returncode, 0)
        self.assertIn("coils 00000100", simulator.ask("contacts box-1"))
        self.assertEqual(self.poll("-r", "5", "-t", "0", write=("0",), line="box-1").returncode, 0)

    def test_is_refused_an_address_that_is_not_there(self):
        polled = self.poll("-r", "50", "-c", "1", "-t", "4")
        self.assertNotEqual(polled.returncode, 0)
        self.assertIn("Illegal data address", polled.stderr)


class MbpollRtu(MbpollTests, unittest.TestCase):
    def way(self, _line: str) -> list[str]:
        return ["-m", "rtu", "-b", "19200", "-P", "none"]

    def where(self, line: str) -> str:
        return simulator.line(line)


class MbpollTcp(MbpollTests, unittest.TestCase):
    def way(self, line: str) -> list[str]:
        return ["-m", "tcp", "-p", str(simulator.ports[line + ".tcp"])]

    def where(self, _line: str) -> str:
        return "127.0.0.1"


class PyvisaScpi(unittest.TestCase):
    def setUp(self):
        import pyvisa
        self.errors = pyvisa.errors
        self.manager = pyvisa.ResourceManager("@py")
        self.load = self.open()

    def tearDown(self):
        self.load.close()
        self.manager.close()

    def open(self):
        return self.manager.open_resource(f"TCPIP::127.0.0.1::{simulator.ports['bay-1.load']}::SOCKET",
                                          read_termination="\n", write_termination="\n", timeout=1e3 * TIMEOUT_S)

    def test_identity(self):
        self.assertEqual(self.load.query("*IDN?"), "Leadwright,simulated load,bay-1.load,sim-1")

    def test_error_queue(self):
        self.load.write("*CLS")
        self.assertEqual(self.load.query("SYST:ERR?"), '0,"No error"')
        self.load.write("VOLT:NONSENSE 3")
        self.load.write("CURR 1000")
        self.assertEqual(self.load.query("SYST:ERR?"), '-113,"Undefined header;VOLT:NONSENSE"')
        self.assertTrue(self.load.query("SYST:ERR:NEXT?").startswith("-222,"))
        self.assertEqual(self.load.query("*ESR?"), "48")
        self.assertEqual(self.load.query("SYST:ERR?"), '0,"No error"')

    def test_chained_queries_are_one_answer(self):
        self.load.write("CURR 5;:INP ON")
        answer = self.load.query("MEAS:VOLT?;:MEAS:CURR?;:INP?").split(";")
        self.load.write("INP OFF;:CURR 0")
        self.assertEqual(answer[1:], ["5.000", "1"])
        self.assertGreater(float(answer[0]), 10.0)
        self.assertEqual(self.load.query("INP?;:CURR?"), "0;0.000")

    def test_an_undefined_query_times_out_and_the_next_one_is_good(self):
        with self.assertRaises(self.errors.VisaIOError) as raised:
            self.load.query("NONSENSE?")
        self.assertEqual(raised.exception.error_code, self.errors.VI_ERROR_TMO)
        self.assertEqual(self.load.query("*OPC?"), "1")
        self.load.write("*CLS")

    def test_a_late_answer_comes_before_that_to_the_next_question(self):
        simulator.ask(f"cable bay-1.load late {2 * TIMEOUT_S}")
        with self.assertRaises(self.errors.VisaIOError):
            self.load.query("*IDN?")
        self.load.write("*ESE 173;*ESE?")
        self.load.timeout = 1e3 * 3 * TIMEOUT_S
        self.assertTrue(self.load.read().startswith("Leadwright"))
        self.assertEqual(self.load.read(), "173")
        self.load.write("*CLS;*ESE 0")

    def test_an_answer_in_ten_pieces_is_one_answer(self):
        simulator.ask("cable bay-1.load split 10 0.01")
        self.assertEqual(self.load.query("*IDN?"), "Leadwright,simulated load,bay-1.load,sim-1")

    def test_a_pulled_cable_ends_the_connection_and_the_next_one_is_good(self):
        simulator.ask("cable bay-1.load out")
        with self.assertRaises(Exception):
            self.load.query("*IDN?")
        self.load.close()
        simulator.ask("cable bay-1.load in")
        self.load = self.open()
        self.assertEqual(self.load.query("*OPC?"), "1")

    def test_many_queries_without_an_error(self):
        began = time.monotonic()
        for _ in range(READS):
            self.assertEqual(self.load.query("INP?"), "0")
        print(f"  PyvisaScpi: {READS} queries, {(time.monotonic() - began) / READS * 1e3:.2f} ms each",
              file=sys.stderr)


def use_debian_python() -> None:
    """Debian's packages belong to Debian's own interpreter, which need not be the first in the path."""
    found = all(importlib.util.find_spec(name) for name in ("pymodbus", "serial", "pyvisa", "pyvisa_py"))
    if not found and os.path.exists(DEBIAN_PYTHON) and not os.path.samefile(sys.executable, DEBIAN_PYTHON):
        os.execv(DEBIAN_PYTHON, [DEBIAN_PYTHON, "-B", *sys.argv])


def has_module(name: str) -> bool:
    try:
        __import__(name)
    except ImportError as error:
        not_run.append(f"{name}: {error}")
        return False
    return True


def present_peers() -> list[type]:
    peers: list[type] = []
    if has_module("pymodbus.client"):
        peers += [PymodbusTcp]
        if has_module("serial"):
            peers += [PymodbusRtu]
    if shutil.which("mbpoll"):
        peers += [MbpollRtu, MbpollTcp]
    else:
        not_run.append("mbpoll: no such program")
    if has_module("pyvisa") and has_module("pyvisa_py"):
        peers += [PyvisaScpi]
    return peers


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("build", type=Path, help="the build folder, which holds bin/benchsim")
    parser.add_argument("--require-all", action="store_true", help="a peer that is not there is a failure")
    options = parser.parse_args()
    if not (options.build / "bin/benchsim").exists():
        parser.error(f"no benchsim in {options.build}/bin: build it first")

    use_debian_python()
    global simulator
    peers = present_peers()
    simulator = Simulator(options.build / "bin")
    try:
        loader = unittest.TestLoader()
        suite = unittest.TestSuite(loader.loadTestsFromTestCase(peer) for peer in peers)
        result = unittest.TextTestRunner(verbosity=1).run(suite)
    finally:
        simulator.end()
    for line in not_run:
        print(f"not run: {line}")
    print(f"{result.testsRun} tests of outside peers, {len(result.failures) + len(result.errors)} failed")
    return 0 if result.wasSuccessful() and not (options.require_all and not_run) else 1


if __name__ == "__main__":
    sys.exit(main())
