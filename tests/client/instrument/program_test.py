# SPDX-License-Identifier: Apache-2.0
"""program_test.py BIN_FOLDER: the program `leadwright` on pseudo-terminals and TCP ports of benchsim.

Whatever the console is told, and whatever ends it, the posts of the simulated bay tell what really happened.
"""

import json
import os
import pty
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

TREE = Path(__file__).resolve().parents[3]
PROFILES = TREE / "config/profiles"
PROGRAMS = Path()
PATIENCE_S = 30


def closed_port() -> int:
    """A port that nobody listens on now."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        return server.getsockname()[1]


class Instrument(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = Path(tempfile.mkdtemp(prefix="leadwright-instrument-"))
        cls.simulator = subprocess.Popen(
            [PROGRAMS / "benchsim", "--state", cls.folder / "sim", "--bays", "1", "--charging-places", "0",
             "--thermometers", "modbus", "--tcp"], stdout=subprocess.PIPE, text=True)
        assert cls.simulator.stdout.readline() == "ready\n"
        ports = (cls.folder / "sim/ports.txt").read_text(encoding="utf-8").split()
        cls.port = ports[ports.index("bay-1.load") + 1]
        cls.modbus_port = ports[ports.index("bay-1.thermometer.tcp") + 1]
        cls.load = f"serial:{cls.folder}/sim/lines/bay-1.load"
        cls.charger = f"serial:{cls.folder}/sim/lines/bay-1.charger"
        cls.load_profile = str(PROFILES / "simulated_load.toml")
        cls.ask_bench("plug bay-1 cell:sound")

    @classmethod
    def tearDownClass(cls):
        cls.simulator.terminate()
        cls.simulator.communicate()
        shutil.rmtree(cls.folder)

    @classmethod
    def ask_bench(cls, line: str) -> str:
        return subprocess.run([PROGRAMS / "benchsim", "ask", "--state", cls.folder / "sim", line],
                              capture_output=True, text=True, check=True).stdout.strip()

    def posts(self) -> str:
        return self.ask_bench("posts bay-1")

    def leadwright(self, *arguments: str, say: str = ""):
        return subprocess.run([PROGRAMS / "leadwright", *arguments], input=say, capture_output=True,
                              text=True, timeout=PATIENCE_S, check=False)

    def probe_load(self, *options: str):
        return self.leadwright("instrument", "probe", self.load, "--profile", self.load_profile, *options)

    def switch_on_past_everybody(self):
        """As somebody at the front panel would."""
        line = os.open(self.folder / "sim/lines/bay-1.load", os.O_WRONLY | os.O_NOCTTY)
        os.write(line, b"CURR 5;:INP ON\n")
        os.close(line)
        for _ in range(1000):
            if "load on" in self.posts():
                return
        self.fail("the load can't be switched on, so this shows nothing")

    def talk(self, *arguments: str) -> subprocess.Popen:
        """A console that has just answered, so that it surely runs."""
        console = subprocess.Popen([PROGRAMS / "leadwright", "instrument", "talk", *arguments],
                                   stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                   text=True)
        console.stdin.write("*IDN?\n")
        console.stdin.flush()
        self.assertIn("simulated load", console.stdout.readline())
        return console

    def test_probe_without_a_profile_tells_who_is_there(self):
        probe = self.leadwright("instrument", "probe", self.load, "--baud", "9600", "115200")
        self.assertEqual(probe.returncode, 0, probe.stderr)
        self.assertIn(">  *IDN?\\n", probe.stdout)
        self.assertIn("Leadwright,simulated load,bay-1.load,sim-1", probe.stdout)

    def test_probe_holds_an_instrument_against_its_profile(self):
        probe = self.probe_load("--settings")
        self.assertEqual(probe.returncode, 0, probe.stdout + probe.stderr)
        for part in ("first go its words for the safe state: INP OFF, CURR 0", "right   sample: 12.", "p99",
                     "right   error queue: empty at the start", "right   cutoff_volts:", "Not proved:"):
            self.assertIn(part, probe.stdout)

    def test_probe_gives_one_json_object_over_tcp(self):
        probe = self.leadwright("instrument", "probe", f"tcp:127.0.0.1:{self.port}", "--profile",
                                self.load_profile, "--samples", "20", "--json")
        self.assertEqual(probe.returncode, 0, probe.stderr)
        report = json.loads(probe.stdout)
        self.assertTrue(report["is_right"])
        self.assertEqual(report["latency"]["count"], 20)
        self.assertGreater(report["reading"]["volts_v"], 12.0)
        self.assertGreaterEqual(report["latency"]["proposed_timeout_ms"], 50)

    def test_probe_knows_a_modbus_unit_on_a_line_and_over_tcp(self):
        line = f"serial:{self.folder}/sim/lines/bay-1.thermometer"
        profile = str(PROFILES / "simulated_modbus_thermometer.toml")
        for link in (line, f"tcp:127.0.0.1:{self.modbus_port}"):
            probe = self.leadwright("instrument", "probe", link)
            self.assertEqual(probe.returncode, 0, probe.stderr)
            self.assertIn("Modbus: unit 1; ", probe.stdout)
            probe = self.leadwright("instrument", "probe", link, "--profile", profile, "--samples", "20",
                                    "--json")
            self.assertEqual(probe.returncode, 0, probe.stdout + probe.stderr)
            self.assertAlmostEqual(json.loads(probe.stdout)["reading"]["temperature_degc"], 25.0, delta=1.0)
        other = self.leadwright("instrument", "probe", self.load, "--profile", profile)
        self.assertEqual(other.returncode, 75, other.stderr)
        self.assertIn("simulated load", other.stderr)
        talk = self.leadwright("instrument", "talk", line, "--profile", profile)
        self.assertEqual(talk.returncode, 65, talk.stderr)

    def test_probe_names_the_wire_that_is_wrong(self):
        rows = [(75, "wrong instrument: \"Leadwright,simulated charger",
                 [self.charger, "--profile", self.load_profile]),
                (66, "no such device", [f"serial:{self.folder}/nothing"]),
                (65, "not a serial device", [f"serial:{self.load_profile}"]),
                (65, "changes when the adapter is plugged in again", ["serial:/dev/ttyUSB0"]),
                (65, "not a link address", ["bay-1"]),
                (66, "can't connect", [f"tcp:127.0.0.1:{closed_port()}"]),
                (65, "the profile has mistakes", [self.load, "--profile", str(TREE / "README.md")]),
                (64, "--samples", [self.load, "--samples", "0"])]
        for code, words, arguments in rows:
            probe = self.leadwright("instrument", "probe", *arguments)
            self.assertEqual(probe.returncode, code, f"{arguments}: {probe.stderr}")
            self.assertIn(words, probe.stderr)

    def test_probe_says_that_nothing_answers_at_any_speed(self):
        self.ask_bench("fault bay-1.load no_answer on")
        try:
            probe = self.leadwright("instrument", "probe", self.load, "--baud", "9600", "115200", "--json")
        finally:
            self.ask_bench("fault bay-1.load no_answer off")
        self.assertEqual(probe.returncode, 75)
        problem = json.loads(probe.stdout)
        self.assertEqual(problem["detail"], "9600 8N1: nothing answers; 115200 8N1: nothing answers")
        self.assertIn("TX and RX", problem["mend"])

    def test_probe_fails_if_the_instrument_ignores_off(self):
        self.switch_on_past_everybody()
        self.ask_bench("fault bay-1.load ignores_off on")
        try:
            probe = self.probe_load()
        finally:
            self.ask_bench("fault bay-1.load ignores_off off")
        self.assertEqual(probe.returncode, 74, probe.stderr)
        self.assertIn("switch it off by hand", probe.stderr)
        self.assertEqual(self.probe_load().returncode, 0)
        self.assertIn("load off", self.posts())

    def test_talk_asks_refuses_and_goes_on(self):
        talk = self.leadwright("instrument", "talk", self.load, "--profile", self.load_profile,
                               say="*idn?\nINP ON\nMEAS:VOLT?;:CURR 5\n\ninp off\nCURR?")
        self.assertEqual(talk.returncode, 77, talk.stderr)
        lines = talk.stdout.splitlines()
        self.assertIn("< Leadwright,simulated load,bay-1.load,sim-1", lines[0])
        self.assertEqual(lines[1], "refused: INP ON is a command, not a question")
        self.assertEqual(lines[2], "refused: :CURR 5 is a command, not a question")
        self.assertEqual(lines[3], "sent")
        self.assertRegex(lines[4], r"^< 0\.000    [0-9.]+ ms$")
        self.assertIn("read back as off", talk.stderr)

    def test_talk_reads_a_file_and_gives_json_lines(self):
        script = self.folder / "script"
        script.write_text("*CLS\n*IDN?\nNONSENSE?\nSYST:ERR?\n", encoding="utf-8")
        with script.open() as lines:
            talk = subprocess.run([PROGRAMS / "leadwright", "instrument", "talk", self.load, "--json",
                                   "--patience-ms", "100"], stdin=lines, capture_output=True, text=True,
                                  timeout=PATIENCE_S, check=False)
        self.assertEqual(talk.returncode, 0, talk.stderr)
        replies = [json.loads(line) for line in talk.stdout.splitlines()]
        self.assertEqual([reply["reply"] for reply in replies], ["sent", "answered", "silent", "answered"])
        self.assertIn("-113", replies[3]["text"])

    def test_talk_switches_off_at_every_end(self):
        for ending in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, None):
            console = self.talk(self.load, "--profile", self.load_profile)
            self.switch_on_past_everybody()
            if ending is None:
                console.stdin.close()
            else:
                console.send_signal(ending)
            with console.stdout, console.stderr:
                self.assertEqual(console.wait(PATIENCE_S), 0)
                self.assertIn("read back as off", console.stderr.read())
            console.stdin.close()
            self.assertIn("load off", self.posts(), f"ended by {ending}")

    def test_talk_switches_off_when_nobody_reads_it_any_more(self):
        console = self.talk(self.load, "--profile", self.load_profile)
        self.switch_on_past_everybody()
        console.stdout.close()
        console.stdin.write("*IDN?\n*IDN?\n")
        console.stdin.flush()
        with console.stdin, console.stderr:
            console.wait(PATIENCE_S)
        self.assertIn("load off", self.posts())

    def test_talk_switches_off_at_control_c_in_a_terminal(self):
        child, terminal = pty.fork()
        if child == 0:
            os.execv(PROGRAMS / "leadwright",
                     ["leadwright", "instrument", "talk", self.load, "--profile", self.load_profile])
        seen = b""
        while not seen.endswith(b"> "):
            seen += os.read(terminal, 1024)
        self.switch_on_past_everybody()
        os.write(terminal, b"\x03")
        _, status = os.waitpid(child, 0)
        os.close(terminal)
        self.assertEqual(os.waitstatus_to_exitcode(status), 0)
        self.assertIn("load off", self.posts())

    def test_a_line_has_one_owner(self):
        console = self.talk(self.load, "--profile", self.load_profile)
        for command in ("probe", "talk"):
            second = self.leadwright("instrument", command, self.load)
            self.assertEqual(second.returncode, 75)
            self.assertIn(f"open in another program: leadwright, process {console.pid}", second.stderr)
        console.communicate()
        console = self.talk(f"tcp:127.0.0.1:{self.port}")
        second = self.leadwright("instrument", "probe", f"tcp:127.0.0.1:{self.port}")
        self.assertEqual(second.returncode, 75)
        self.assertIn(f"connected to it already: leadwright, process {console.pid}", second.stderr)
        console.communicate()

    def test_the_daemons_line_is_left_alone(self):
        config = self.folder / "leadwright.toml"
        config.write_text(
            f'schema = 1\n[bench]\ntime = "sim/bench_time.toml"\n[web]\nport = 0\n'
            f'[folders]\nprofiles = "{PROFILES}"\nprocedures = "{TREE}/config/procedures"\n'
            f'[policy]\nfile = "{TREE}/config/policies/bench.toml"\n'
            f'[estimator]\nfile = "{TREE}/config/estimator.toml"\n'
            f'[[place]]\nname = "shelf"\nkind = "shelf"\n[[place]]\nname = "bay-1"\nkind = "bay"\n'
            f'load = {{ profile = "simulated_load", link = "{self.load}" }}\n', encoding="utf-8")
        command = [PROGRAMS / "leadwrightd", "--config", config, "--state", self.folder / "state"]
        daemon = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
        try:
            while "place=bay-1 activity=ready" not in daemon.stderr.readline():
                self.assertIsNone(daemon.poll())
            for command in ("probe", "talk"):
                second = self.leadwright("instrument", command, self.load, "--profile", self.load_profile)
                self.assertEqual(second.returncode, 75, second.stderr)
                self.assertIn(f"open in another program: leadwrightd, process {daemon.pid}", second.stderr)
        finally:
            daemon.terminate()
            daemon.communicate()
        self.assertEqual(self.leadwright("instrument", "probe", self.load).returncode, 0)

    def test_profile_check_tells_right_from_wrong(self):
        check = self.leadwright("profile", "check", self.load_profile, str(TREE / "config/leadwright.toml"))
        self.assertEqual(check.returncode, 65)
        self.assertIn("simulated_load.toml: right", check.stdout)
        self.assertRegex(check.stdout, r"leadwright\.toml:\d+:\d+: unknown key ")
        self.assertEqual(self.leadwright("profile", "check", "/nowhere.toml").returncode, 66)
        self.assertEqual(self.leadwright("profile", "check").returncode, 64)

    def test_help_has_examples_and_exit_codes(self):
        for command in (["profile", "check"], ["instrument", "probe"], ["instrument", "talk"]):
            shown = self.leadwright(*command, "--help")
            self.assertEqual(shown.returncode, 0)
            self.assertIn("Examples:", shown.stdout)
            self.assertIn("Exit codes:", shown.stdout)


if __name__ == "__main__":
    PROGRAMS = Path(sys.argv.pop(1))
    unittest.main()
