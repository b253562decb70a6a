# SPDX-License-Identifier: Apache-2.0
"""`leadwright instrument` against units that pymodbus plays, over a pseudo-terminal (RTU) and over TCP.

Run by peers_drivers.py.
"""

import json
import subprocess

from peers_wires import PATIENCE_S, PROFILES, WireTest

OFF = ("coil", 0, [0])
NO_AMPS = ("holding", 11, [0])
READS_BEFORE_THE_STOP = 50
SAMPLES_MAX = "5000"


class ProbeTests:
    """What holds for RTU and TCP alike."""

    def started(self, kind: str, *options: str):
        unit, link = self.unit(kind)
        unit.start(*options)
        return unit, link

    def probe(self, link: str, kind: str, *options: str) -> subprocess.CompletedProcess:
        profile = str(PROFILES / f"generic_modbus_{kind}.toml")
        return self.leadwright("instrument", "probe", link, "--profile", profile, *options)

    def report(self, link: str, kind: str, *options: str) -> dict:
        probe = self.probe(link, kind, "--json", *options)
        self.assertEqual(probe.returncode, 0, probe.stdout + probe.stderr)
        report = json.loads(probe.stdout)
        self.assertTrue(report["is_right"])
        return report

    def assert_fails(self, probe: subprocess.CompletedProcess, code: int, *words: str) -> None:
        self.assertEqual(probe.returncode, code, probe.stdout + probe.stderr)
        for each in words:
            self.assertIn(each, probe.stdout + probe.stderr)

    def test_who_is_there_is_known_without_a_profile_and_nothing_is_written(self):
        unit, link = self.started("charger")
        probe = self.leadwright("instrument", "probe", link)
        self.assertEqual(probe.returncode, 0, probe.stdout + probe.stderr)
        self.assertIn("Modbus: unit 1; ", probe.stdout)
        self.assertEqual(unit.writes(), [])

    def test_a_chargers_volts_amps_and_faults_are_those_in_its_registers(self):
        # 13.375 and 2.75 as big-endian floats; the second of its three faults.
        unit, link = self.started("charger", "--set=input:100=16726,0,16432,0", "--set=discrete:1=1")
        # Current that flows although it is off is a fault of its own.
        self.assert_fails(self.probe(link, "charger"), 74, "current still flows")
        unit.stop()
        unit.start("--set=input:100=16726,0,15487,48759", "--set=discrete:1=1")  # 0.0156 A
        report = self.report(link, "charger", "--samples", "50")
        self.assertEqual(report["protocol"], "Modbus")
        self.assertEqual(report["reading"]["volts_v"], 13.375)
        self.assertAlmostEqual(report["reading"]["amps_a"], 0.0156, places=4)
        self.assertEqual(report["latency"]["count"], 50)
        self.assertIn("over-current", json.dumps(report["findings"]))
        self.assert_never_on(unit)

    def test_off_is_written_before_anything_is_asked_and_read_back(self):
        unit, link = self.started("charger", "--set=coil:0=1")
        self.report(link, "charger", "--samples", "1")
        accesses = unit.accesses()
        first = accesses[0]
        self.assertEqual((first["do"], first["space"], first["values"]), ("write", "coil", [0]))
        self.assertIn(NO_AMPS, unit.writes())
        read_back = [one["values"] for one in accesses if one["do"] == "read" and one["space"] == "coil"]
        self.assertEqual(read_back[0], [0])
        self.assert_never_on(unit)

    def test_settings_are_set_to_what_they_are_and_read_back(self):
        unit, link = self.started("charger", "--set=holding:10=1380,500")
        report = self.report(link, "charger", "--settings", "--samples", "1")
        self.assertIn("13.800 V, as before, set and read back", json.dumps(report["findings"]))
        self.assertIn(("holding", 10, [1380]), unit.writes())
        self.assertEqual({write[2][0] for write in unit.writes() if write[:2] == ("holding", 11)}, {0})
        self.assertEqual(unit.writes()[0], OFF)
        self.assert_never_on(unit)

    def test_a_thermometers_degrees_have_their_sign_and_it_is_only_read(self):
        unit, link = self.started("thermometer", "--set=input:100=65413")
        report = self.report(link, "thermometer", "--samples", "10")
        self.assertEqual(report["reading"]["temperature_degc"], -12.3)
        self.assertEqual(unit.writes(), [])

    def test_a_relay_boxs_contacts_are_read_and_its_outputs_only_opened(self):
        unit, link = self.started("relay", "--set=coil:0=1,1,1,1,1,1,1,1")
        report = self.report(link, "relay", "--samples", "5")
        self.assertIn("inputs 0 to 7 are 1 0 1 0 0 0 0 1", json.dumps(report["findings"]))
        self.assertEqual(unit.writes()[0], ("coil", 0, [0] * 8))
        self.assert_never_on(unit)

    def test_another_identity_is_named(self):
        unit, link = self.started("charger", "--set=input:1=2")
        self.assert_fails(self.probe(link, "charger"), 75, "wrong instrument", "12 34 00 02")
        self.assert_never_on(unit)

    def test_another_unit_is_not_taken_for_it(self):
        unit, link = self.started("charger")
        self.assert_fails(self.probe(link, "charger", "--unit", "7"), 75, "nothing answers", "--unit")
        self.assertEqual(unit.accesses(), [])

    def test_a_register_that_is_not_there_is_named_with_the_exception(self):
        unit, link = self.started("charger", "--set=input:103=")
        self.assert_fails(self.probe(link, "charger"), 65, "input 100", "exception 2")
        self.assert_never_on(unit)

    def test_off_that_is_acknowledged_and_not_obeyed_is_found_out(self):
        unit, link = self.started("charger", "--set=coil:0=1", "--stuck")
        self.assert_fails(self.probe(link, "charger"), 74, "not off", "switch it off by hand")
        self.assertGreaterEqual(unit.writes().count(OFF), 3)

    def test_a_unit_that_stops_in_mid_talk_ends_the_probe_with_a_plain_word(self):
        unit, link = self.started("charger")
        probe = subprocess.Popen(
            [self.programs / "leadwright", "instrument", "probe", link, "--profile",
             str(PROFILES / "generic_modbus_charger.toml"), "--samples", SAMPLES_MAX],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        self.addCleanup(probe.kill)
        with probe.stdout:
            self.wait(lambda: len(unit.accesses()) > READS_BEFORE_THE_STOP, "the samples")
            unit.stop()
            said = probe.communicate(timeout=PATIENCE_S)[0]
        self.assertEqual(probe.returncode, self.stopped_code, said)
        self.assertRegex(said, self.stopped_words)
        self.assert_never_on(unit)

    def test_talk_sends_a_modbus_unit_nothing_and_names_the_probe(self):
        unit, link = self.started("charger")
        talk = self.leadwright("instrument", "talk", link, "--profile",
                               str(PROFILES / "generic_modbus_charger.toml"))
        self.assert_fails(talk, 65, "for Modbus: leadwright instrument probe")
        self.assertEqual(unit.accesses(), [])


class ProbeRtu(ProbeTests, WireTest):
    stopped_code = 1
    stopped_words = "no answer"

    def unit(self, kind: str):
        return self.rtu_unit(kind)


class ProbeTcp(ProbeTests, WireTest):
    stopped_code = 69
    stopped_words = "the link is (gone|closed)"

    def unit(self, kind: str):
        return self.tcp_unit(kind)

    def test_nobody_at_the_port_is_said_at_once(self):
        _, link = self.unit("charger")
        self.assert_fails(self.probe(link, "charger"), 66, "can't connect")
