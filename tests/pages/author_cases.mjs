// The engineer's decisions about the station's recipe in the browser, and one of its steps alone.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station, recipeText } from "./station.mjs";

async function fill(page, texts) {
  await until("a sheet is open", async () => (await page.page.$("dialog[open]")) !== null);
  for (const [name, text] of Object.entries(texts)) {
    await page.page.focus(`dialog input[name=${name}]`);
    await page.page.keyboard.type(text);
  }
  await page.press("Enter");
}
const closed = (page) => until("the sheet is closed", async () => (await page.page.$("dialog[open]")) === null);
const asText = (page, id, words) => until(`${id} says ${words}`, async () => { const text = await page.text(id); if (!text.includes(words)) throw new Error(text); return true; });

test("a recipe is released, changed, permitted and withdrawn by keyboard", async () => {
  const text = recipeText();
  const station = await Station.start({ recipe: text, released: false, rate: "4" });
  const page = await Page.open(`${station.address}/plan`);
  try {
    await asText(page, "#recipe", "Nothing of this recipe is released");
    await page.press("F6");
    await fill(page, {});
    await asText(page, "dialog .wrong", "Say who you are first.");
    await fill(page, { who: "Eva" });
    await asText(page, "dialog .wrong", "Give a reason.");
    await fill(page, { why: "trial lot was good" });
    await closed(page);
    await asText(page, "#done", "Release 1");
    await asText(page, "#releases", "trial lot was good");
    equal(await page.page.$eval("[aria-keyshortcuts=F6]", (button) => button.disabled), true, "released twice");
    // Another revision: the daemon is started with it.
    station.daemon.signal("SIGTERM");
    await station.daemon.ended;
    const changed = text.replace('revision = "A"', 'revision = "B"').replace(/scans = 64/, "scans = 48");
    ok(changed.includes("scans = 48"), "the recipe has no such step any more");
    station.rewrite(changed);
    await station.serve();
    await page.page.goto(`${station.address}/plan`);
    await asText(page, "#recipe", "Changes since release 1");
    await page.press("F7");
    await fill(page, { name: "fewer scans", quantity: "x", why: "batch 17", who: "Eva" });
    await asText(page, "dialog .wrong", "whole number");
    await page.page.$eval("dialog input[name=quantity]", (field) => { field.value = ""; });
    await fill(page, { quantity: "20" });
    await closed(page);
    await asText(page, "#permits", "fewer scans");
    await asText(page, "#recipe", "Deviation permit 1");
    await page.press("F6");
    await fill(page, { why: "it held" });
    await closed(page);
    await asText(page, "#releases", "it held");
    await page.page.$eval("#releases details summary", (summary) => summary.focus());
    await page.press("Enter");
    await asText(page, "#releases details", "scans");
    for (const theme of ["light", "dark"]) {
      await page.page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: theme }]);
      await page.accessible(`the recipe's part, ${theme}`);
    }
    await page.page.evaluate(() => document.querySelector("#recipe").scrollIntoView());
    await page.shot("recipe");
    await page.page.$eval("#releases tbody tr:last-child button", (button) => button.focus());
    await page.press("Enter");
    await fill(page, { why: "replaced" });
    await closed(page);
    await asText(page, "#releases", "withdrawn");
    const { entries } = await station.get("/api/audit");
    const release = entries.find((one) => one.act === "POST /api/recipe/release");
    equal([release.before.release, release.after.release], [1, 2], "the audit of the second release");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("one step of the recipe alone, in one nest, with its raw counts", async () => {
  const station = await Station.start({ rate: "10", bench: ["--defects", "none"] });
  const page = await Page.open(`${station.address}/plan`);
  try {
    await until("steps are offered", async () => (await page.page.$$("#alone select[name=step] option")).length > 0);
    const offered = await page.page.$$eval("#alone select[name=step] option", (all) => all.map((one) => one.value));
    equal(offered, ["identify", "contact check", "gain and offset", "noise", "touch response"], "steps that may be run alone");
    await asText(page, "#alone", "writes to the unit");
    await page.page.select("#alone select[name=step]", "noise");
    await page.page.select("#alone select[name=nest]", "3");
    await page.press("F2");
    await asText(page, "dialog", "hands out");
    await fill(page, { operator: "Eva" });
    await closed(page);
    await until("its result is there", async () => (await page.page.$$("#alone .run tbody tr")).length > 8, 60000);
    const status = await station.get("/api/status");
    equal([status.tape.length, status.tape[0].nest, status.measure_only, status.draft], [1, 3, true, true], "what ran");
    const steps = await page.page.$$eval("#alone .run tbody tr td:nth-child(3)", (cells) => [...new Set(cells.map((one) => one.textContent))]);
    ok(steps.every((one) => ["identify", "noise"].includes(one)), steps.join());
    await page.page.$eval("#alone .run details.raw summary", (summary) => summary.focus());
    await page.press("Enter");
    await until("its raw counts are there", async () => (await page.page.$$("#alone details.raw tbody tr")).length >= 32);
    await page.page.evaluate(() => document.querySelector("#alone-name").scrollIntoView());
    await page.shot("one-step");
    await page.accessible("one step alone");
    const { runs } = await station.get(`/api/unit?serial=${status.tape[0].serial}`);
    equal([runs[0].write_stage, runs[0].permission.kind], ["untouched", "draft"], "the unit");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
