// The OpenAPI document that the daemon serves, beside what it answers: JSON Schema 2020-12 by ajv, an
// independent validator.

import Ajv from "ajv/dist/2020.js";
import formats from "ajv-formats";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

const inText = (name) => name.replace(/~/g, "~0").replace(/\//g, "~1");

class Checker {
  constructor(document) {
    this.document = document;
    this.ajv = new Ajv({ strict: false, allErrors: true });
    formats(this.ajv);
    this.ajv.addSchema(document, "station");
    this.seen = new Set();
  }
  // The pattern of the path that a call is of.
  pathOf(path) {
    const bare = path.split("?")[0].replace(/\/nest\/\d+\//, "/nest/{nest}/");
    ok(this.document.paths[bare], `the document knows no ${bare}`);
    return bare;
  }
  fits(method, path, status, body) {
    const known = this.pathOf(path), call = this.document.paths[known][method];
    ok(call?.responses[status], `${method} ${known}: ${status} is not in the document`);
    const named = call.responses[status].$ref;
    const pointer = named ? `${named.slice(1)}/content/${inText("application/json")}/schema`
      : `/paths/${inText(known)}/${method}/responses/${status}/content/${inText("application/json")}/schema`;
    const check = this.ajv.compile({ $ref: `station#${pointer}` });
    if (!check(body)) throw new Error(`${method} ${known} ${status}: ${this.ajv.errorsText(check.errors).slice(0, 300)}`);
    this.seen.add(`${method} ${known}`);
  }
}

test("the document of the calls says what the daemon answers", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  try {
    const check = new Checker(await station.get("/openapi.json"));
    const get = async (path) => {
      const response = await fetch(station.address + path);
      if (response.headers.get("content-type").startsWith("text/csv")) return;
      check.fits("get", path, response.status, await response.json());
    };
    const post = async (path, body) => {
      const response = await station.post(path, body);
      check.fits("post", path, response.status, await response.json());
    };
    const metrics = async () => {
      const response = await fetch(`${station.address}/api/metrics`);
      ok(response.headers.get("Content-Type").startsWith("application/openmetrics-text"), "metrics of another type");
      const { schema } = check.document.paths["/api/metrics"].get.responses[200].content["application/openmetrics-text"];
      ok(check.ajv.compile(schema)(await response.text()), "metrics do not end as they should");
      check.seen.add("get /api/metrics");
    };
    const live = async () => {
      const reader = (await fetch(`${station.address}/api/live`)).body.getReader();
      const text = new TextDecoder().decode((await reader.read()).value);
      await reader.cancel();
      const state = check.ajv.compile({ $ref: "station#/components/schemas/LiveState" });
      // One read may bring more than one event.
      ok(state(JSON.parse(text.slice(6).split("\n\n")[0])), `live: ${check.ajv.errorsText(state.errors)}`);
      check.seen.add("get /api/live");
    };
    const reads = ["/api/health", "/api/status", "/api/panel", "/api/plan", "/api/releases", "/api/events",
      "/api/shift-check", "/api/session", "/api/audit", "/api/unit?serial=HOB8-00001", "/api/observations?run=1",
      "/api/fixture", "/api/fixture/hold", "/api/fixture/wear", "/api/recipe", "/api/changes?before=1&after=1",
      "/api/changes?before=1&after=77", "/api/changes?before=x&after=1"];
    const questions = ["overview", "yield", "failures", "capability", "chart", "drift", "gauge", "gauge-steps", "trace", "dispositions",
      "choices", "alarms", "alarms?all=yes", "alarms?all=perhaps", "sampling", "sampling?product=none", "capability?check=gain&low=300&high=390", "capability?low=300", "lot?lot=L", "in-doubt?station=line-3", "trace?serial=HOB8-00001", "chart?kind=pie", "yield?lot=none"];
    const ask = async () => {
      for (const question of questions) {
        const path = `/api/quality/${question}`;
        await get(path);
        if (!question.startsWith("choices")) await get(`${path}${path.includes("?") ? "&" : "?"}format=sheet`);
      }
    };
    const byHand = async () => {
      for (const call of ["take", "renew", "connect", "finger", "stop"]) await post(`/api/fixture/${call}`, {});
      const { lease } = await (await station.post("/api/fixture/take", { operator: "E", cautions_read: true })).json();
      await post("/api/fixture/take", { operator: "F", cautions_read: true });
      await until("it is in hand", async () => (await station.get("/api/fixture/hold")).state === "held");
      await post("/api/fixture/renew", { lease });
      await post("/api/fixture/connect", { lease, nest: 1, channel: 2, reference: "R1" });
      await until("it is connected", async () => (await station.get("/api/fixture/hold")).connected);
      await get("/api/fixture/hold");
      await post("/api/fixture/finger", { lease, act: "home" });
      await until("it is homed", async () => (await station.get("/api/fixture/hold")).finger);
      await get("/api/fixture/hold");
      await post("/api/fixture/give-back", { lease });
      await until("it is given back", async () => !(await station.get("/api/fixture/hold")).held);
      await post("/api/fixture/give-back", { lease });
    };
    for (const path of reads) await get(path);
    await ask();
    await live();
    await metrics();
    await post("/api/lot/stop");
    await post("/api/lot/start", {});
    await post("/api/lot/start", { lot: "L", units: 4 });
    await live();
    for (const act of ["load", "answer", "abort", "put-aside"])
      await post(`/api/nest/1/${act}`, act === "answer" ? { answer: "no" } : {});
    await post("/api/nest/9/abort");
    await until("it has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    for (const path of reads) await get(path);
    await live();
    await ask();
    await byHand();
    await post("/api/recipe/release", { why: "x" });
    await post("/api/recipe/release", { who: "E", why: "x" });
    await post("/api/recipe/permit", { who: "E", why: "x", name: "n", quantity: 3 });
    await post("/api/recipe/withdraw", { who: "E", why: "x", release: 77 });
    await post("/api/recipe/withdraw", { who: "E", why: "x", release: 1 });
    await post("/api/recipe/release", { who: "E", why: "x" });
    await get("/api/recipe");
    await post("/api/quality/dispose", { serial: "HOB8-00001", to: "scrap", why: "x" });
    await post("/api/quality/dispose", { serial: "HOB8-00001", to: "scrap", why: "x", who: "M" });
    await post("/api/quality/dispose", { serial: "HOB8-00001", to: "released", why: "x", who: "M" });
    await post("/api/quality/dispose", { serial: "nobody", to: "scrap", why: "x", who: "M" });
    await post("/api/quality/freeze", { check: "gain", key: "timer", nest: 1, why: "x", who: "Q" });
    await post("/api/quality/freeze", { check: "gain", key: "timer", lot: "none", why: "x", who: "Q" });
    await post("/api/quality/freeze", { check: "gain", key: "timer", drafts: true, baseline: 4, why: "x", who: "Q" });
    await post("/api/quality/alarm", { alarm: 999, why: "x", who: "Q" });
    await post("/api/quality/alarm", { alarm: 1, who: "Q" });
    await post("/api/quality/sampling-result", { plan: 9, lot: "L", nonconforming: 0, who: "Q" });
    await post("/api/quality/sampling-result", { plan: 9, lot: "L", who: "Q" });
    const plan = { product: "hob panel", step: "hover", aql: 1, why: "x", who: "Q" };
    for (const body of [plan, { ...plan, aql: 3 }, { ...plan, who: "" }]) await post("/api/quality/sampling-plan", body);
    for (const body of [{ plan: 1, lot: "S", size: 50, who: "Q" }, { plan: 1, lot: "S", size: 50, who: "Q" }, { plan: 9, lot: "S", size: 50, who: "Q" }, { plan: 1, lot: "S", size: 1, who: "Q" }]) await post("/api/quality/sampling-units", body);
    for (const body of [{ plan: 1, why: "x", who: "Q" }, { plan: 9, why: "x", who: "Q" }, { plan: 1, who: "Q" }]) await post("/api/quality/sampling-resume", body);
    await get("/api/quality/sampling?format=sheet");
    for (const coil of [40, 9999]) await post("/api/fixture/replaced", { coil, cautions_read: true, why: "x", who: "E" });
    await post("/api/fixture/replaced", { coil: 40, why: "x", who: "E" });
    for (const question of ["alarms", "alarms?all=yes&format=sheet", "chart?check=gain&key=timer"]) await get(`/api/quality/${question}`);
    await post("/api/fault/clear", { operator: "M" });
    await post("/api/shift-check/start", { operator: "M" });
    await post("/api/session/first", { code: "wrong", name: "boss", password: "long enough" });
    await post("/api/session", { name: "M", password: "wrong one" });
    await station.daemon.until("give the code ");
    const code = /give the code (\S+)\./.exec(station.daemon.said)[1];
    await post("/api/session/first", { code, name: "boss", password: "long enough" });
    await get("/api/status");
    await get("/api/accounts");
    await get("/api/audit?who=boss&before=99");
    await get("/api/quality/audit?who=boss&since=2026-01-01");
    await get("/api/quality/audit?format=sheet");
    await post("/api/accounts", { name: "Q", role: "quality", password: "long enough" });
    await post("/api/accounts/remove", { name: "Q" });
    await post("/api/session", { name: "boss", password: "long enough" });
    await post("/api/session/end", {});
    const all = Object.entries(check.document.paths).flatMap(([path, calls]) =>
      Object.keys(calls).map((method) => `${method} ${path}`));
    equal(all.filter((call) => !check.seen.has(call)), [], "calls of the document that nobody tried");
  } finally {
    await station.end();
  }
});
