# SPDX-License-Identifier: Apache-2.0
"""leadwrightd on units that pymodbus plays: a charger over a pseudo-terminal, a thermometer over TCP.

Run by peers_drivers.py.
"""

import json
import subprocess
import urllib.request

from peers_wires import PATIENCE_S, PROFILES, TREE, Unit, WireTest

PLACE = "charge-1"
BATTERY_VOLTS = 12.625
OTHER_VOLTS = 13.375
OTHER_VOLTS_WORDS = "--set=input:100=16726,0"
ON_AT_POWER_UP = "--set=coil:0=1"


class DaemonTest(WireTest):
    def setUp(self):
        super().setUp()
        self.charger, charger_link = self.rtu_unit("charger")
        self.thermometer, thermometer_link = self.tcp_unit("thermometer")
        # An instrument that was left on is the worst that the daemon can find.
        self.charger.start(ON_AT_POWER_UP)
        self.thermometer.start()
        config = self.folder / "leadwright.toml"
        config.write_text(
            f'schema = 1\n[web]\nport = 0\n'
            f'[folders]\nprofiles = "{PROFILES}"\nprocedures = "{TREE}/config/procedures"\n'
            f'[policy]\nfile = "{TREE}/config/policies/bench.toml"\n'
            f'[estimator]\nfile = "{TREE}/config/estimator.toml"\n'
            f'[[place]]\nname = "shelf"\nkind = "shelf"\n'
            f'[[place]]\nname = "{PLACE}"\nkind = "charging"\n'
            f'charger = {{ profile = "generic_modbus_charger", link = "{charger_link}" }}\n'
            f'thermometer = {{ profile = "generic_modbus_thermometer", link = "{thermometer_link}" }}\n',
            encoding="utf-8")
        with (self.folder / "daemon.log").open("wb") as log:
            command = [self.programs / "leadwrightd", "--config", config, "--state", self.folder / "state"]
            daemon = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=log, stderr=log)
        self.addCleanup(daemon.wait, PATIENCE_S)
        self.addCleanup(daemon.terminate)
        self.wait((self.folder / "state/url").exists, "the daemon")

    def client(self, *words: str):
        asked = self.leadwright("--state", str(self.folder / "state"), "--json", *words)
        self.assertEqual(asked.returncode, 0, asked.stderr)
        return json.loads(asked.stdout)

    def place(self) -> dict:
        return next(place for place in self.client("place", "list") if place["place"] == PLACE)

    def live(self) -> dict:
        url = (self.folder / "state/url").read_text(encoding="utf-8").strip()
        with urllib.request.urlopen(url + "/api/v1/bench", timeout=PATIENCE_S) as reply:
            return next(place for place in json.load(reply)["places"] if place["name"] == PLACE)

    def instrument(self, role: str) -> dict:
        return next(one for one in self.client("instrument", "list") if one["role"] == role)

    def is_ready(self) -> bool:
        return self.place()["activity"] == "ready"

    def shows(self, volts: float) -> bool:
        return self.live()["volts_v"] == volts

    def lose(self, unit: Unit, role: str, other: str) -> dict:
        """Stops the unit under a ready place, and gives how the daemon then shows the instrument."""
        self.wait(lambda: self.is_ready() and self.shows(BATTERY_VOLTS), "a ready place")
        unit.stop()
        self.wait(lambda: not self.is_ready(), "the place to notice")
        self.wait(lambda: f"{PLACE}.{role}" in (self.place()["problem"] or ""), f"the {role} to be named")
        self.assertEqual(self.instrument(other)["state"], "ready")
        shown = self.instrument(role)
        self.assertNotEqual(shown["state"], "ready")
        self.assertIsNotNone(shown["trouble"])
        return shown

    def test_what_was_left_on_is_switched_off_first_and_the_place_shows_its_readings(self):
        self.wait(lambda: self.is_ready() and self.shows(BATTERY_VOLTS), "a ready place")
        first = self.charger.accesses()[0]
        self.assertEqual((first["do"], first["space"], first["values"]), ("write", "coil", [0]))
        self.assertEqual(self.thermometer.writes(), [])
        for role in ("charger", "thermometer"):
            shown = self.instrument(role)
            self.assertEqual(shown["state"], "ready")
            self.assertGreater(shown["counters"]["exchanges"], 0)
            self.assertEqual(shown["counters"]["time_outs"] + shown["counters"]["garbles"], 0)
        self.assert_never_on(self.charger)

    def test_a_charger_that_falls_silent_is_named_and_comes_back_by_itself(self):
        shown = self.lose(self.charger, "charger", "thermometer")
        self.assertGreater(shown["counters"]["time_outs"], 0)
        accesses_before = len(self.charger.accesses())
        self.charger.start(ON_AT_POWER_UP, OTHER_VOLTS_WORDS)
        self.wait(lambda: self.is_ready() and self.shows(OTHER_VOLTS), "the charger to be back")
        # It may be back while its identity is asked for once more; but then off comes before anything else.
        others = [one for one in self.charger.accesses()[accesses_before:]
                  if (one["do"], one["space"], one["at"]) != ("read", "input", 0)]
        self.assertEqual((others[0]["do"], others[0]["space"], others[0]["values"]), ("write", "coil", [0]))
        self.assertEqual(self.instrument("charger")["state"], "ready")
        self.assertGreater(self.instrument("charger")["counters"]["reopenings"], 0)
        self.assert_never_on(self.charger)

    def test_a_thermometer_that_ends_its_connection_is_named_and_comes_back_by_itself(self):
        shown = self.lose(self.thermometer, "thermometer", "charger")
        self.assertEqual(shown["state"], "lost")
        self.thermometer.start()
        self.wait(self.is_ready, "the thermometer to be back")
        self.assertEqual(self.instrument("thermometer")["state"], "ready")
        self.assert_never_on(self.charger)
