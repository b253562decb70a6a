// SPDX-License-Identifier: Apache-2.0
// A real bench for tests of the page: the release daemon and benchsim in a folder of their own, which goes
// with them. The daemon can die and start again at the same address.
import {spawn, spawnSync} from "node:child_process";
import {existsSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join, resolve} from "node:path";
import {fileURLToPath} from "node:url";

const tree = fileURLToPath(new URL("../..", import.meta.url));
const patience_ms = 30000;

const pause = (milliseconds) => new Promise((done) => { setTimeout(done, milliseconds); });

export class BenchProcess {
  // `programs`: the folder of leadwrightd and benchsim. `scale`: bench seconds a second.
  constructor(programs, scale) {
    this.programs = resolve(programs);
    this.scale = scale;
    this.folder = mkdtempSync(join(tmpdir(), "leadwright-page-"));
    this.port = 0;
  }

  at(name) {
    return join(this.folder, name);
  }

  spawn(program, ...words) {
    const log = openSync(this.at(`${program}.log`), "a");
    return spawn(join(this.programs, program), words, {cwd: this.folder, stdio: ["ignore", log, log]});
  }

  async begin() {
    const size = ["--bays", "1", "--charging-places", "0", "--scale", String(this.scale)];
    this.simulator = this.spawn("benchsim", "--state", "sim", ...size);
    await this.wait_for(() => existsSync(this.at("sim/bench_time.toml")), "benchsim");
    await this.start_daemon();
  }

  configuration() {
    const of_tree = (name) => JSON.stringify(join(tree, "config", name));
    const instrument = (role) => {
      const link = JSON.stringify(`serial:${this.at(`sim/lines/bay-1.${role}`)}`);
      return `${role} = { profile = "simulated_${role}", link = ${link} }`;
    };
    return [
      "schema = 1", "[bench]", 'name = "the counter"', 'time = "sim/bench_time.toml"',
      "[web]", `port = ${this.port}`,
      "[folders]", `profiles = ${of_tree("profiles")}`, `procedures = ${of_tree("procedures")}`,
      "[policy]", `file = ${of_tree("policies/bench.toml")}`,
      "[estimator]", `file = ${of_tree("estimator.toml")}`,
      "[parts]", `file = ${of_tree("demo/parts.csv")}`,
      "[[place]]", 'name = "shelf"', 'kind = "shelf"',
      "[[place]]", 'name = "bay-1"', 'kind = "bay"',
      ...["load", "charger", "thermometer"].map(instrument), "",
    ].join("\n");
  }

  async start_daemon() {
    rmSync(this.at("state/url"), {force: true});
    writeFileSync(this.at("leadwright.toml"), this.configuration());
    this.daemon = this.spawn("leadwrightd", "--config", "leadwright.toml", "--state", "state");
    await this.wait_for(() => existsSync(this.at("state/url")) && this.url() !== "", "leadwrightd");
    this.port = Number(new URL(this.url()).port);
  }

  url() {
    return readFileSync(this.at("state/url"), "utf8").trim();
  }

  // As by a power cut: nothing is said before.
  async kill_daemon() {
    const gone = new Promise((done) => { this.daemon.once("exit", done); });
    this.daemon.kill("SIGKILL");
    await gone;
  }

  // What a hand does at the simulated bench.
  hand(command) {
    const words = ["ask", "--state", "sim", command];
    const done = spawnSync(join(this.programs, "benchsim"), words, {cwd: this.folder, encoding: "utf8"});
    if (done.status !== 0 || !done.stdout.startsWith("ok"))
      throw new Error(`benchsim: ${command}: ${done.stdout}${done.stderr}`);
  }

  async wait_for(holds, what) {
    const until = Date.now() + patience_ms;
    while (!await holds()) {
      if (Date.now() > until) throw new Error(`waited in vain for ${what} (logs in ${this.folder})`);
      await pause(50);
    }
  }

  // The daemon first, so that it can switch its instruments off.
  async end(keeps_folder) {
    for (const child of [this.daemon, this.simulator]) {
      if (!child || child.exitCode !== null || child.signalCode !== null) continue;
      const gone = new Promise((done) => { child.once("exit", done); });
      child.kill("SIGTERM");
      await gone;
    }
    if (!keeps_folder) rmSync(this.folder, {recursive: true, force: true});
  }
}
