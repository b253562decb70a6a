# SPDX-License-Identifier: Apache-2.0
"""pymodbus and mbpoll ask the simulated Modbus units, over a pseudo-terminal and over TCP.

Run by peers_sim.py.
"""

import contextlib
import struct
import subprocess
import sys
import time

from peers_simulator import PATIENCE_S, READS, TIMEOUT_S, SimulatorTest

# tools/benchsim/sim_registers.h
MAKER, CHARGER, RELAY_BOX = 0x4C57, 1, 4
VOLTS, AMPS = 10, 11
SAMPLE = 100
ON = 0


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
        read_back = self.good(self.client.read_holding_registers(VOLTS, 2, slave=1))
        self.assertEqual(read_back.registers, [1440, 500])
        # pymodbus 3.0 calls the slave `unit` here alone.
        exchanged = self.client.readwrite_registers(read_address=VOLTS, read_count=2, write_address=AMPS,
                                                    write_registers=[700], unit=1)
        self.assertEqual(self.good(exchanged).registers, [1440, 700])

    def test_current_flows_and_is_measured(self):
        self.good(self.client.write_registers(VOLTS, [1440, 500], slave=1))
        self.good(self.client.write_coil(ON, True, slave=1))
        self.assertTrue(self.good(self.client.read_coils(ON, 1, slave=1)).bits[0])
        words = self.words(SAMPLE, 4)
        self.assertAlmostEqual(f32(words[2:]), 5.0, places=2)
        self.assertIn("charger on 5.000 A", self.simulator.ask("posts bay-1"))
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
        self.simulator.break_charger(self, "busy")
        self.assertEqual(self.client.read_input_registers(0, 1, slave=1).exception_code, 6)

    def test_silence_times_out_and_the_next_exchange_is_good(self):
        self.simulator.break_charger(self, "no_answer")
        began = time.monotonic()
        self.assertTrue(self.client.read_input_registers(0, 1, slave=1).isError())
        self.assertGreater(time.monotonic() - began, 0.5 * TIMEOUT_S)
        self.simulator.ask("fault bay-1.charger no_answer off")
        if not self.client.connected:
            self.client.connect()
        self.assertEqual(self.words(0, 1), [MAKER])

    def test_many_reads_without_an_error(self):
        began = time.monotonic()
        for _ in range(READS):
            self.assertEqual(self.words(0, 2), [MAKER, CHARGER])
        print(f"  {type(self).__name__}: {READS} reads, "
              f"{(time.monotonic() - began) / READS * 1e3:.2f} ms each", file=sys.stderr)


class PymodbusRtu(PymodbusTests, SimulatorTest):
    def connect(self, name: str, **options):
        from pymodbus.client import ModbusSerialClient
        client = ModbusSerialClient(port=self.simulator.line(name), baudrate=115200, parity="N", stopbits=1,
                                    timeout=TIMEOUT_S, retries=0, **options)
        self.assertTrue(client.connect())
        return client

    def test_another_unit_is_not_answered(self):
        self.assertTrue(self.client.read_input_registers(0, 1, slave=2).isError())

    def test_a_flipped_bit_is_not_answered_and_the_next_exchange_is_good(self):
        self.simulator.ask("cable bay-1.charger flipped 17 question")
        self.assertTrue(self.client.read_input_registers(0, 1, slave=1).isError())
        if not self.client.connected:
            self.client.connect()
        self.assertEqual(self.words(0, 1), [MAKER])

    def test_a_broadcast_is_obeyed_and_not_answered(self):
        self.client.close()
        with contextlib.closing(self.connect("bay-1.charger", broadcast_enable=True)) as client:
            client.write_register(VOLTS, 1234, slave=0)
            self.assertEqual(self.good(client.read_holding_registers(VOLTS, 1, slave=1)).registers, [1234])


class PymodbusTcp(PymodbusTests, SimulatorTest):
    def connect(self, name: str):
        from pymodbus.client import ModbusTcpClient
        port = self.simulator.ports[name + ".tcp"]
        client = ModbusTcpClient("127.0.0.1", port=port, timeout=TIMEOUT_S, retries=0)
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
        self.assertIn("coils 00000100", self.simulator.ask("contacts box-1"))
        self.assertEqual(self.poll("-r", "5", "-t", "0", write=("0",), line="box-1").returncode, 0)

    def test_is_refused_an_address_that_is_not_there(self):
        polled = self.poll("-r", "50", "-c", "1", "-t", "4")
        self.assertNotEqual(polled.returncode, 0)
        self.assertIn("Illegal data address", polled.stderr)


class MbpollRtu(MbpollTests, SimulatorTest):
    def way(self, _line: str) -> list[str]:
        return ["-m", "rtu", "-b", "115200", "-P", "none"]

    def where(self, line: str) -> str:
        return self.simulator.line(line)


class MbpollTcp(MbpollTests, SimulatorTest):
    def way(self, line: str) -> list[str]:
        return ["-m", "tcp", "-p", str(self.simulator.ports[line + ".tcp"])]

    def where(self, _line: str) -> str:
        return "127.0.0.1"
