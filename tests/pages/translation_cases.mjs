// What the station says is said in German, too: each sentence of the table of faults, of a lot with
// every defect that a bench can make, and each text in the sources that a page may come to show. A new
// English sentence without its phrase fails here. The German itself: a person's word, no source.

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { piecesOf, sourcesIn, textsOf } from "./cpp_texts.mjs";
import { root, Station } from "./station.mjs";
import { drawn } from "./tables.mjs";

const german = (page) => page.page.evaluate(() => localStorage.setItem("language", "de"));
const untranslated = (page, texts) => page.page.evaluate(async (all) => {
  const { spoken } = await import("/sentences.js");
  const english = (text) => spoken(text).filter((node) => node.lang === "en").map((node) => node.textContent);
  return [...new Set(all.flatMap(english))];
}, texts);

// Of a page in Markdown: the cells of the column with this name, of every table.
function column(markdown, name) {
  const rows = markdown.split("\n").filter((line) => line.startsWith("| ")).map((line) => line.slice(2, -2).split(" | "));
  let at = -1;
  return rows.flatMap((row) => {
    if (row.includes(name)) { at = row.indexOf(name); return []; }
    return row[at] && !/^-+$/.test(row[at]) ? [row[at]] : [];
  });
}

// Each kind once, in the order of docs/virtual-bench.md.
const defects = ["dead_channel@2", "shorted_pair@3", "thick_glue@5", "noisy_supply", "trims_lost_at_restart", "trims_lost_at_power_off", "other_product", "silent", "stuck_key@1"];

test("every sentence of faults and defects is said in German", async () => {
  const station = await Station.start({ bench: ["--defects", defects.map((kind, i) => `${i + 2}:${kind}`).join(",")] });
  const page = await Page.open(station.address);
  try {
    await german(page);
    const faults = column(readFileSync(join(root, "docs/faults.md"), "utf8"), "the station says");
    ok(faults.length > 50, `only ${faults.length} sentences in the table of faults`);
    equal(await untranslated(page, faults), [], "sentences of faults that stay English");
    const told = new Set();
    await station.post("/api/lot/start", { lot: "2231-B", units: 16, operator: "M" });
    await until("the lot has ended", async () => {
      const state = await station.get("/api/status");
      for (const nest of state.nests) for (const text of [nest.sentence, nest.reason, ...nest.keys.map((key) => key.sentence)]) if (text) told.add(text);
      if (state.last_not_passed) told.add(state.last_not_passed);
      return state.state !== "running";
    }, 120000);
    const { units } = await station.get("/api/quality/dispositions");
    for (const unit of units) told.add(unit.reason).add(unit.next_step);
    ok([...told].some((text) => text.includes("glue")), `no unit with thick glue: ${[...told].join(" ")}`);
    equal(await untranslated(page, [...told].filter(Boolean)), [], "sentences of units that stay English");
    equal(await untranslated(page, ["This sentence has no phrase at all."]), ["This sentence has no phrase at all."], "what has no phrase");
    // Somebody's reason may be as long: the page has to stay alive. The bound is wide.
    const long = Array.from({ length: 300 }, (_, i) => `Ab${i}.`).join(" "), began = performance.now();
    await untranslated(page, [long]);
    const took = performance.now() - began;
    ok(took < 6000, `300 short sentences took ${Math.round(took)} ms`);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

// Not /audit: it shows calls as they came.
const sheets = ["/quality", "/yield", "/capability?check=gain", "/chart?check=gain", "/drift", "/gauge", "/in-doubt", "/dispositions", "/sampling", "/trace"];
// What of a page comes last.
const pages = { "/": ".nest svg", "/plan": "#permits *", "/fixture": "#wear table", "/accounts": "#logins form", "/no-such-page": "h1" };
// Words that stand in no German sentence, and figures with a point: neither belongs to a name here.
// Steps have the names that the recipe gives them.
const foreign = () => [...document.body.innerText.replaceAll("gain and offset", "").matchAll(/[^\n]*\b(?:the|of|is|are|and|with|at least|at most|units?|key|no)\b[^\n]*|[^\n]*(?<![\d.])\d+\.\d+ ?(?:counts|pF|mm|s|%|kHz)[^\n]*/g)].map(([line]) => line);

test("no page speaks English to who reads German", async () => {
  const station = await Station.start({ bench: ["--defects", "2:thick_glue@5,3:dead_channel@2,4:trims_lost_at_restart,5:silent"] });
  const page = await Page.open(station.address);
  try {
    await german(page);
    await station.post("/api/lot/start", { lot: "2231-B", units: 10, operator: "M" });
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 120000);
    const { serial } = (await station.get("/api/quality/dispositions")).units.find((unit) => unit.serial);
    const found = [];
    for (const [place, last] of [...Object.entries({ ...pages, [`/unit?serial=${serial}`]: ".run table" }), ...sheets.map((sheet) => [sheet, null])]) {
      await page.page.goto(station.address + place);
      if (last) await until(`${place} stands`, async () => (await page.page.$(last)) !== null);
      else await drawn(page);
      for (const details of await page.page.$$("details:not([open]) > summary")) await details.evaluate((one) => one.click());
      await page.shot(`german${place.replace(/\W+/g, "-").slice(0, 24)}`);
      for (const line of await page.page.evaluate(foreign)) found.push(`${place}: ${line}`);
    }
    equal([...new Set(found)], [], "lines in English");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|404/]);
});

// Files whose sentences no page shows: commands alone, or names of data.
const elsewhere = {
  "station/metrology": ["budget", "centre_search", "channel_line", "characterisation", "check_verify", "line_report", "noise_report", "touch_readings", "touch_report"],
  "station/engine": ["run_state", "teach_run", "write_back", "records"],
  "fixtures/drivers": ["port_probe", "register_reads", "scpi_relay_bank"],
  "fixtures/serial": ["port_list"],
  "station/answers": ["agreement_answer", "audit_answer", "bias_answer", "cautions", "chain_answer", "changes_answer", "channel_causes_answer", "correction_c", "document_schema", "documents_check", "event_json", "event_lines",
    "export_rows", "limit_proposals", "lot_report", "names", "panel_sheet", "plan_forecast", "quality_report", "raw_readings", "reference_values", "rejudge_json", "result_words", "schema_fields", "unit_details", "unit_header", "unit_history", "upkeep_answer", "variables_answer", "yield_report", "trace_answer"],
  "db/quality": ["channel_causes"],
};
// Pieces that go to the log, or are names.
const notShown = [
  "needs check", "There is no '", "to compare.", "One of the two has no unit with a verdict.", "percentage points of first-pass yield (", "probability by chance", "a real difference", "not told apart",
  "trim problem taken for a value:", "unexpected_reply", "permit to move", "did not pass; attempt", "does not apply", "nothing is written.", "before verifying", "after verifying", "safe state", "before storing the result", "after storing the result",
  "no more units are loaded.", "Trying once more.", "no answer to \"", "once more.", "bytes that answered no request were thrown away.", "errors from before:", "SYST:ERR?", "from a repeated request.", "/dev/serial/by-id",
  "Not drawn:", "a reply carries as many values as were asked for", "the wear was not counted:", "started over HTTP by", "nobody named", "shift check started over HTTP by", "put aside, says", "fault cleared by", "the fixture was taken in hand by", "what the contacts worked is not kept:", "the fixture is free again:", "the audit lacks an act by hand.",
];
const names = /^[a-z0-9_.:/-]+$/; // of members, figures and addresses
const shown = ["station/metrology", "station/engine", "fixtures/drivers", "fixtures/serial", "station/answers", "db/quality"];
const desks = ["daemon", "commissioning", "disposal", "chart_acts", "author_desk", "sampling_act", "books_desk"];

test("every text in the sources that a page may show has its phrase", async () => {
  const station = await Station.start();
  const page = await Page.open(station.address);
  try {
    const sources = [...shown.flatMap((folder) => sourcesIn(root, folder, elsewhere[folder])), ...sourcesIn(root, "station/main").filter(({ name }) => desks.some((desk) => name === `station/main/${desk}.cpp`)),
      ...sourcesIn(root, "fixtures/codec").filter(({ name }) => name.endsWith("modbus_reply.cpp"))];
    const texts = sources.flatMap(({ name, source }) => textsOf(source).flatMap(piecesOf).filter((piece) => !names.test(piece)).map((piece) => [name, piece]));
    ok(texts.length > 400, `only ${texts.length} texts in ${sources.length} files`);
    const missing = await page.page.evaluate(async (all) => {
      const { english } = await import("/sentences.js");
      const known = english().join("\n").toLowerCase();
      return all.filter(([, piece]) => !known.includes(piece.toLowerCase()));
    }, texts);
    equal(missing.filter(([, piece]) => !notShown.includes(piece)).map((one) => one.join(": ")), [], "texts without a phrase");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
