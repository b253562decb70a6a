# SPDX-License-Identifier: Apache-2.0
"""PyVISA asks the simulated SCPI load over TCP. Run by peers_sim.py."""

import sys
import time

from peers_simulator import READS, TIMEOUT_S, SimulatorTest


class PyvisaScpi(SimulatorTest):
    def setUp(self):
        import pyvisa
        self.errors = pyvisa.errors
        self.manager = pyvisa.ResourceManager("@py")
        self.load = self.open()

    def tearDown(self):
        self.load.close()
        self.manager.close()

    def open(self):
        port = self.simulator.ports["bay-1.load"]
        return self.manager.open_resource(f"TCPIP::127.0.0.1::{port}::SOCKET", read_termination="\n",
                                          write_termination="\n", timeout=1e3 * TIMEOUT_S)

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
        self.simulator.ask(f"cable bay-1.load late {2 * TIMEOUT_S}")
        with self.assertRaises(self.errors.VisaIOError):
            self.load.query("*IDN?")
        self.load.write("*ESE 173;*ESE?")
        self.load.timeout = 1e3 * 3 * TIMEOUT_S
        self.assertTrue(self.load.read().startswith("Leadwright"))
        self.assertEqual(self.load.read(), "173")
        self.load.write("*CLS;*ESE 0")

    def test_an_answer_in_ten_pieces_is_one_answer(self):
        self.simulator.ask("cable bay-1.load split 10 0.01")
        self.assertEqual(self.load.query("*IDN?"), "Leadwright,simulated load,bay-1.load,sim-1")

    def test_a_pulled_cable_ends_the_connection_and_the_next_one_is_good(self):
        self.simulator.ask("cable bay-1.load out")
        with self.assertRaises(Exception):
            self.load.query("*IDN?")
        self.load.close()
        self.simulator.ask("cable bay-1.load in")
        self.load = self.open()
        self.assertEqual(self.load.query("*OPC?"), "1")

    def test_many_queries_without_an_error(self):
        began = time.monotonic()
        for _ in range(READS):
            self.assertEqual(self.load.query("INP?"), "0")
        print(f"  PyvisaScpi: {READS} queries, {(time.monotonic() - began) / READS * 1e3:.2f} ms each",
              file=sys.stderr)
