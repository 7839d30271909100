// What people say for the books alone, by page: a sampling plan set, units chosen, inspection that
// goes on after a stop, and contacts that were replaced. Five lots refused while inspection is
// tightened stop it (ISO 2859-1, from memory).

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { shown } from "./tables.mjs";

const asks = (page) => until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
const closed = (page) => until("it asks no longer", async () => (await page.page.$("dialog")) === null);
const wrong = (page, text) => until(`it says ${text}`, async () => (await page.text("dialog .wrong")).includes(text));
const fill = (page, values) => page.page.evaluate((all) => {
  for (const [name, value] of Object.entries(all)) {
    const field = document.querySelector(`dialog [name=${name}]`);
    if (field.type === "checkbox") field.checked = value;
    else field.value = value;
  }
}, values);
const act = async (page, key, values) => {
  await page.press(key);
  await asks(page);
  await fill(page, values);
  await page.press("Enter");
};
const done = (page, text) => until(`it says ${text}`, async () => (await page.text("#done")).includes(text));

test("a sampling plan is set, units are chosen, and inspection goes on after a stop, all by page", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  const page = await Page.open(`${station.address}/operator.html`);
  try {
    await shown(page, `${station.address}/sampling`);
    equal(await page.sentence(), "Which units get the slow step, and was the lot accepted?", "without a plan the question stands");
    await page.press("F4");
    await asks(page);
    ok((await page.text("dialog")).includes("beginning with normal inspection"), "what a plan means is not said before");
    await page.accessible("the sheet that sets a plan");
    await page.shot("sampling-plan");
    await fill(page, { who: "Q" });
    await page.press("Enter");
    await wrong(page, "Give a reason first.");
    await fill(page, { step: "touch response", why: "it takes a minute" });
    await page.press("Enter");
    await done(page, "Sampling plan 1 is in force for step touch response of");
    await until("it is told", async () => (await page.sentence()).includes("normal inspection from the next lot on."));
    await act(page, "F6", { lot: "L-0", size: "1", who: "Q" });
    await wrong(page, "2 or more");
    await fill(page, { size: "500" });
    await page.press("Enter");
    await done(page, "Lot L-0: 50 of 500 units are chosen.");
    await until("it waits for its result", async () => (await page.page.$$("#waiting h3")).length === 1);
    equal(await page.page.$("[aria-keyshortcuts=F7]"), null, "nothing to resume yet");
    // Refused lots: two of five lead to tightened inspection, five more of that stop it.
    const post = async (path, body) => equal((await station.post(`/api/quality/sampling-${path}`, { ...body, plan: 1, who: "Q" })).status, 202, `${path} ${body.lot}`);
    await post("result", { lot: "L-0", nonconforming: 50 });
    for (let n = 1; n <= 6; ++n) {
      await post("units", { lot: `L-${n}`, size: 500 });
      await post("result", { lot: `L-${n}`, nonconforming: 20 });
    }
    equal((await station.get("/api/quality/sampling")).plans[0].next_severity, "stopped", "inspection");
    equal((await station.post("/api/quality/sampling-units", { plan: 1, lot: "L-9", size: 500, who: "Q" })).status, 409, "units while it is stopped");
    await shown(page, `${station.address}/sampling`);
    ok((await page.sentence()).endsWith("inspection is stopped."), await page.sentence());
    await page.press("F7");
    await asks(page);
    ok((await page.text("dialog")).includes("It goes on tightened"), "what it means is not said before");
    await fill(page, { why: "new glue", who: "Q" });
    await page.press("Enter");
    await done(page, "Inspection goes on: the next lot gets tightened inspection.");
    const { entries } = await station.get("/api/audit");
    for (const [path, before, after] of [["sampling-plan", null, 1], ["sampling-resume", "stopped", "tightened"]]) {
      const kept = entries.find((one) => one.act === `POST /api/quality/${path}` && one.status === 202);
      equal([kept.before?.severity ?? null, kept.after.severity ?? kept.after.quality_limit], [before, after], `the audit of ${path}`);
    }
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 40/]);
});

test("contacts that were replaced are said on the fixture's page, after its cautions", async () => {
  const station = await Station.start();
  const page = await Page.open(`${station.address}/fixture`);
  try {
    await station.post("/api/lot/start", { lot: "W-1", units: 4, operator: "M" });
    await until("the contacts have worked", async () => (await station.get("/api/fixture/wear")).contacts[0].operations > 0 && (await station.get("/api/status")).state !== "running", 60000);
    await page.page.reload();
    await until("the wear is shown", async () => (await page.page.$("#replaced:not([disabled])")) !== null);
    const [worst] = (await station.get("/api/fixture/wear")).contacts;
    await page.press("F6");
    await asks(page);
    ok((await page.text("dialog")).includes("supply off by hardware and secured") && (await page.text("dialog")).includes("licensed practice"), await page.text("dialog"));
    await page.accessible("the sheet that asks what was replaced");
    await page.shot("fixture-replaced");
    await fill(page, { why: "worn", who: "E" });
    await page.press("Enter");
    await wrong(page, "Read the cautions first");
    await fill(page, { read: true });
    await page.press("Enter");
    await closed(page);
    await until("it is told", async () => (await page.text("#wear")).includes("Counts begin anew."));
    const now = (await station.get("/api/fixture/wear")).contacts.find((one) => one.coil === worst.coil);
    equal([now.operations, now.who, now.why], [0, "E", "worn"], "the count");
    const kept = (await station.get("/api/audit")).entries.find((one) => one.act === "POST /api/fixture/replaced" && one.status === 202);
    equal([kept.before[0].operations, kept.after[0].operations], [worst.operations, 0], "the audit");
    equal((await station.post("/api/fixture/replaced", { coil: 9999, cautions_read: true, who: "E", why: "x" })).status, 404, "a coil of nothing");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 40/]);
});
