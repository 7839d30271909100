// A station on a virtual bench: the real program twice, in a folder of its own.

import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url));
export const build = process.argv[2];
const program = join(build, "padtrim");
const documents = {
  recipe: "recipes/examples/hob-panel-8.toml",
  unit: "fixtures/units/hob-panel-8.toml",
  fixture: "fixtures/profiles/hob-line-4-nests.toml",
};
const open = new Set();

// A process that is known by what it says.
class Program {
  constructor(words) {
    this.said = "";
    this.child = spawn(program, words, { cwd: root });
    open.add(this);
    for (const stream of [this.child.stdout, this.child.stderr])
      stream.on("data", (bytes) => { this.said += bytes; this.onSaid?.(); });
    this.ended = new Promise((done) => this.child.on("exit", (code) => { open.delete(this); done(code); }));
  }
  until(text) {
    return new Promise((done, wrong) => {
      this.onSaid = () => { if (this.said.includes(text)) done(this.said); };
      this.onSaid();
      this.ended.then((code) => wrong(new Error(`ended with ${code}: ${this.said}`)));
    });
  }
  signal(name) { this.child.kill(name); }
}
process.on("exit", () => { for (const one of open) one.child.kill("SIGKILL"); });

// A profile whose nests a person loads.
const withoutHandler = (text) => text.replace(/^(advance_coil|present_input) = .*\n/gm, "");

export class Station {
  static async start({ byHand = false, recipe, released = true, bench = [], rate = "60", seed = "3" } = {}) {
    const self = new Station();
    self.folder = mkdtempSync(join(tmpdir(), "padtrim-pages-"));
    const ports = join(self.folder, "ports");
    mkdirSync(ports);
    const own = (name, text) => { const path = join(self.folder, name); writeFileSync(path, text); return path; };
    const fixture = byHand
      ? own("by-hand.toml", withoutHandler(readFileSync(join(root, documents.fixture), "utf8"))) : documents.fixture;
    const what = recipe ? own("recipe.toml", recipe) : documents.recipe;
    self.plan = [what, "--fixture", fixture, "--unit", documents.unit, "--records", join(self.folder, "records.sqlite")];
    self.bench = new Program(["bench", "--fixture", fixture, "--unit", documents.unit, "--ports", ports,
      "--seed", seed, "--rate", rate, ...bench]);
    await self.bench.until("bench ready");
    if (released) self.release();
    self.ports = ports;
    await self.serve();
    return self;
  }
  release() {
    const done = spawnSync(program, ["release", ...this.plan, "--who", "suite", "--why", "pages"], { cwd: root });
    if (done.status !== 0) throw new Error(`release: ${done.stderr}`);
  }
  // The recipe that it was started with, anew; the next daemon reads it.
  rewrite(recipe) { writeFileSync(this.plan[0], recipe); }
  // Commands on the records while no daemon holds them.
  async beside(...commands) {
    this.daemon.signal("SIGTERM");
    await this.daemon.ended;
    for (const words of commands) {
      const done = spawnSync(program, [...words, "--records", join(this.folder, "records.sqlite")], { cwd: root });
      if (done.status !== 0) throw new Error(`${words[0]}: ${done.stderr}`);
    }
    await this.serve();
  }
  async serve(port = "0") {
    this.daemon = new Program(["serve", ...this.plan, "--ports", this.ports, "--station", "line-3", "--listen", port]);
    const said = await this.daemon.until("listens on http://127.0.0.1:");
    this.address = /http:\/\/127\.0\.0\.1:\d+/.exec(said)[0];
    this.port = this.address.split(":")[2];
  }
  // Opens the guard, or closes it: the bench's first real-time signal, which node has no name for.
  turnGuard() { process.kill(this.bench.child.pid, 34); }
  async get(path) {
    return (await fetch(this.address + path)).json();
  }
  async post(path, body) {
    const headers = { "Content-Type": "application/json" };
    return fetch(this.address + path, { method: "POST", headers, body: JSON.stringify(body ?? {}) });
  }
  async end() {
    for (const one of [this.daemon, this.bench]) {
      one.signal("SIGKILL");
      await one.ended;
    }
    rmSync(this.folder, { recursive: true, force: true });
  }
}

export const recipeText = () => readFileSync(join(root, documents.recipe), "utf8");
