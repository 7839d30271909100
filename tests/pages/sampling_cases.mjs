// Sampling by page: what is to be looked at, and a result told once. 500 units at level II are letter
// H; with an AQL of 1 % that is 50 units, accepted with at most 1 (ISO 2859-1, from memory).

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { drawn, shown, tablesEqualCsv } from "./tables.mjs";
import { views } from "./views.mjs";

const plan = ["sampling", "--set", "--product", "hob panel", "--step", "hover", "--aql", "1", "--who", "Q", "--why", "it takes a minute"];
const choose = (lot) => ["sampling", "--product", "hob panel", "--step", "hover", "--lot", lot, "--size", "500"];

test("a lot's chosen units are listed, and its result is told once", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  const page = await Page.open(`${station.address}/operator.html`);
  const wrong = (text) => until(`it says ${text}`, async () => (await page.text("dialog .wrong")).includes(text));
  try {
    await shown(page, `${station.address}/sampling`);
    ok((await page.text("#sentences")).includes("No sampling plan is set"), await page.text("#sentences"));
    await station.beside(plan, choose("2231"), choose("2232"));
    await shown(page, `${station.address}/sampling`);
    ok((await page.text("#sentences")).includes("The next lot gets normal inspection."), await page.text("#sentences"));
    equal(await page.page.$$eval("#waiting h3", (all) => all.map((one) => one.textContent)), ["Lot 2231", "Lot 2232"], "lots without a result");
    ok((await page.text("#waiting article")).includes("50 of 500 units, accepted with at most 1 nonconforming"), await page.text("#waiting article"));
    equal(await page.page.$$eval("#waiting button kbd", (all) => all.map((one) => one.textContent)), ["Alt 1", "Alt 2"], "the keys of the lots");
    const { units } = (await station.get("/api/quality/sampling")).plans[0].lots[0];
    equal(units.length, 50, "units that were chosen");
    ok((await page.text("#waiting article")).includes(`Which, in the order they come: ${units.join(" ")}`), "other units");
    await tablesEqualCsv(page, station, "/sampling");
    for (const view of views) {
      const seen = await Page.open(`${station.address}/sampling`, view);
      await drawn(seen);
      await seen.shot(`sampling-${view.width}-${view.theme}`);
      await seen.accessible(`/sampling at ${view.width}, ${view.theme}`);
      await seen.close([/ERR_|Failed to load resource/]);
    }
    const ask = async (found) => {
      await page.page.evaluate(() => document.activeElement.blur());
      await page.press("1");
      equal(await page.page.$("dialog[open]"), null, "a bare character is no shortcut");
      await page.withAlt(1);
      await until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
      await page.page.keyboard.type(found);
      await page.page.$eval("dialog [name=who]", (field) => { field.value = "Q"; });
      await page.press("Enter");
    };
    await ask("some");
    await page.accessible("the sheet that asks for a result");
    await page.shot("sampling-result");
    await wrong("A whole number");
    await page.press("Escape");
    await until("it asks no longer", async () => (await page.page.$("dialog")) === null);
    await ask("51");
    await wrong("more units are nonconforming than were looked at");
    await page.press("Escape");
    await until("it asks no longer", async () => (await page.page.$("dialog")) === null);
    await ask("2");
    await until("it is kept", async () => (await page.text("#done")) === "Lot 2231: 2 of 50 units nonconforming, refused. The next lot gets normal inspection.");
    await until("it waits no longer", async () => (await page.page.$$("#waiting h3")).length === 1);
    await drawn(page);
    ok((await page.text("#table-1")).includes("2 nonconforming: refused"), await page.text("#table-1"));
    const again = await station.post("/api/quality/sampling-result", { plan: 1, lot: "2231", nonconforming: 0, who: "Q" });
    equal(again.status, 409, "a result told twice");
    const kept = (await station.get("/api/audit")).entries.find((one) => one.act === "POST /api/quality/sampling-result" && one.status === 202);
    equal([kept.before.nonconforming, kept.after.nonconforming], [null, 2], "what the audit keeps");
    await page.press("F9");
    await until("it speaks German", async () => (await page.text("#waiting h2")) === "Lose, deren Ergebnis noch fehlt: 1");
    await page.shot("sampling-german");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 40/]);
});
