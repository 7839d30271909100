// A quality engineer's day: the sheet that stays open, every question, tables beside charts and CSV,
// filters in the address, a gauge study, a decision about a unit.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { drawn, shown, tablesEqualCsv } from "./tables.mjs";
import { views } from "./views.mjs";

const sheets = ["/quality", "/yield", "/capability", "/chart", "/drift", "/gauge", "/in-doubt", "/dispositions", "/sampling", "/trace", "/audit"];
const quarantined = "HOB8-00006";

// A line with two lots, one unit of which lost its trims, and a lot that only measured.
async function lineWithLots() {
  const station = await Station.start({ bench: ["--units", "24", "--defects", "2:thick_glue@5,5:dead_channel@2,6:trims_lost_at_power_off"] });
  const lot = async (name, units, measure_only = false) => {
    await until(`lot ${name} starts`, async () => (await station.post("/api/lot/start", { lot: name, units, measure_only, operator: "M" })).ok);
    await until(`lot ${name} ends`, async () => (await station.get("/api/status")).state !== "running", 120000);
  };
  await lot("2231-A", 8);
  await lot("2231-B", 8);
  await lot("G-1", 3, true);
  return station;
}

test("a quality engineer's day", async () => {
  const station = await lineWithLots();
  const page = await Page.open(`${station.address}/quality`);
  try {
    await drawn(page);
    equal(await page.sentence(), "Decide about the unit that waits.", "what is to be done");
    equal((await page.page.$$("#tape .drawing svg > g, #tape .drawing svg > a")).length >= 8, true, "the lot's tape");
    equal((await page.page.$$("main .column:first-child .drawing.panel a")).length, 8, "a small chart at each key");
    for (const path of sheets) {
      await shown(page, station.address + path);
      await page.accessible(path);
      if (path !== "/gauge") await tablesEqualCsv(page, station, path);
      equal(await page.text("#trouble"), "", path);
    }

    // From the small chart to the large one, and on: the filters go along.
    await shown(page, `${station.address}/quality?lot=2231-A`);
    const small = await page.page.$("main .drawing.panel a");
    const key = await small.evaluate((link) => link.getAttribute("aria-label").split(":")[0]);
    await Promise.all([page.page.waitForNavigation(), small.evaluate((link) => link.click())]);
    await drawn(page);
    const query = () => new URL(page.page.url()).searchParams;
    equal([query().get("lot"), query().get("key")], ["2231-A", key], "what the link kept");
    equal(new URL(page.page.url()).pathname, "/chart", "where it leads");
    ok((await page.text("main figure h2")).includes(`key ${key}`), "the large chart is of another key");
    await tablesEqualCsv(page, station, "the large chart");
    await page.press("F3");
    await until("the next sheet is there", async () => new URL(page.page.url()).pathname === "/drift");
    await drawn(page);
    equal([query().get("lot"), query().get("key")], ["2231-A", key], "what the next sheet kept");
    await page.press("F2");
    equal(await page.focused(), "check", "the first field of the title block");
    await page.page.select("select[name=lot]", "2231-B");
    await until("the address says so", () => query().get("lot") === "2231-B");
    await drawn(page);
    await page.page.goBack();
    await until("back is back", () => query().get("lot") === "2231-A");
    await drawn(page);
    equal(await page.page.$eval("select[name=lot]", (field) => field.value), "2231-A", "the field after going back");

    // As found beside as left.
    await shown(page, `${station.address}/capability?lot=2231-A&key=timer`);
    const titles = await page.page.$$eval("main figure h2", (all) => all.map((one) => one.textContent));
    ok(titles.some((one) => one.endsWith("as found")) && titles.some((one) => one.endsWith("as left")), titles.join("; "));

    // The study is one measurement further each time.
    await shown(page, `${station.address}/gauge?lot=G-1`);
    ok(/^Measure unit HOB8-\d+ in nest \d, loaded anew\.$/.test(await page.sentence()), await page.sentence());
    equal((await page.page.$$("#measured tbody tr")).length, 3, "units of the study");
    equal(await page.page.$$eval(".steps .now", (all) => all.map((one) => one.textContent.slice(0, 17))), ["Now: Measure each"], "the step that the headline is of");
    const blank = await page.page.$$eval("main table", (all) => all.filter((table) => table.tBodies[0].rows.length && [...table.tBodies[0].querySelectorAll("td.figure")].every((cell) => cell.textContent === "-")).length);
    equal(blank, 0, "tables of nothing but dashes");

    // What is wrong is said where it is asked.
    await page.page.goto(`${station.address}/yield?since=yesterday`);
    await until("it says so", async () => (await page.text("#trouble")).includes("'yesterday' is no time"));
    equal([await page.sentence(), await page.page.$eval("main a", (link) => link.getAttribute("href"))], ["Ask otherwise, or about all.", "/yield"], "what to do about it");

    // A decision is asked for a reason, kept, and shown with it.
    await shown(page, `${station.address}/dispositions`);
    ok((await page.text(".unit")).includes(quarantined), await page.text(".unit"));
    await page.page.focus(".unit button");
    await page.press("Enter");
    await until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
    await page.accessible("the sheet that asks");
    await page.shot("quality-decide");
    await page.page.select("select[name=to]", "scrap");
    await page.page.focus("input[name=why]");
    await page.scan("");
    await until("it wants a reason", async () => /reason|Say who|empty/.test(await page.text("dialog .wrong")));
    await page.page.focus("input[name=who]");
    await page.page.$eval("input[name=who]", (field) => { field.value = ""; });
    await page.page.keyboard.type("Q");
    await page.page.focus("input[name=why]");
    await page.scan("lost its trims twice");
    await until("it is kept", async () => (await page.text("#done")).includes(`Unit ${quarantined} is now: scrap (Q).`));
    await until("it waits no longer", async () => !(await page.text("main")).includes(quarantined));
    await shown(page, `${station.address}/dispositions?which=scrap`);
    ok((await page.text(".unit")).includes("lost its trims twice"), "the reason is not shown");
    await page.press("F9");
    await until("in German", async () => (await page.text("#bar")).includes("English"));
    equal(await page.page.$$eval(".unit ol [lang]", (marked) => marked.map((one) => one.textContent).filter((text) => text.includes("its trims twice"))), [], "a person's words are no sentence of the station's");
    await page.press("F9");
    await shown(page, `${station.address}/quality`);
    ok(!(await page.sentence()).includes("quarantine"), await page.sentence());
    const refused = await station.post("/api/quality/dispose", { serial: quarantined, to: "released", why: "x", who: "Q" });
    equal(refused.status, 409, "a scrapped unit is not released");
    // The lot that measures only finds units of the others in the nests; which ones is the handlers' luck.
    const numbers = Array.from({ length: 16 }, (_, n) => n + 1).filter((n) => n !== 6);
    const units = await Promise.all(numbers.map((n) => station.get(`/api/unit?serial=HOB8-${String(n).padStart(5, "0")}`)));
    const again = units.find((one) => one.runs.length > 1), runs = again.runs.map((one) => one.run), serial = again.runs[0].serial;
    const late = await station.post("/api/quality/dispose", { serial, run: Math.min(...runs), to: "scrap", why: "x", who: "Q" });
    equal([late.status, (await late.json()).error], [409, `Unit ${serial} was run again since you looked: run ${Math.max(...runs)} is its newest.`], "a decision about an older run");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 40/]);
});

// Elements beyond the window's edges.
const cutOff = () => [...document.querySelectorAll("h1, #bar button, #index a, #block label, #block button")].filter((element) => {
  const box = element.getBoundingClientRect();
  return box.width > 0 && (box.right > innerWidth + 1 || box.bottom > innerHeight + 1 || box.left < -1);
}).map((element) => element.textContent.slice(0, 30));

const buttonBeside = () => {
  const [fields, button] = ["#block fieldset", "#block .enter"].map((one) => document.querySelector(one).getBoundingClientRect());
  return button.left >= fields.right - 1 && button.top <= fields.top + 1;
};
const wrappedDates = () => [...document.querySelectorAll("td.moment")].filter((cell) => {
  const range = document.createRange();
  range.selectNodeContents(cell);
  return range.getClientRects().length > 1;
}).map((cell) => cell.textContent);

test("quality sheets in two sizes, two themes and two languages", async () => {
  const station = await lineWithLots();
  const looks = ["/quality", "/yield", "/capability", "/capability?key=timer", "/chart", "/chart?check=gain&key=timer", "/drift", "/gauge?lot=G-1", "/in-doubt", "/dispositions", "/sampling", "/trace", "/audit"];
  try {
    for (const view of views) {
      const page = await Page.open(`${station.address}/quality`, view);
      for (const path of looks) {
        const name = `${path} at ${view.width}, ${view.theme}`;
        await shown(page, station.address + path);
        await page.shot(`sheet-${path.replace(/\W+/g, "-").slice(1)}-${view.width}-${view.theme}`);
        equal(await page.page.evaluate(cutOff), [], name);
        equal(await page.page.evaluate(buttonBeside), true, `${name}: the button stands beside its fields`);
        await page.accessible(name);
      }
      await page.close([/ERR_|Failed to load resource/]);
    }
    const page = await Page.open(`${station.address}/quality`);
    await drawn(page);
    await page.press("F9");
    await until("it speaks German", async () => (await page.sentence()) === "Über das wartende Teil entscheiden.");
    for (const path of sheets) {
      await shown(page, station.address + path);
      equal(await page.page.evaluate(cutOff), [], `${path} in German`);
      equal(await page.page.evaluate(wrappedDates), [], `${path}: dates that wrap`);
      equal(await page.page.evaluate(() => document.documentElement.lang), "de", path);
      ok(!/\b(question|sheet|field) [a-z]/.test(await page.text("body")), `${path}: a text is missing`);
    }
    await page.shot("sheet-german");
    await page.close([/ERR_|Failed to load resource/]);
  } finally {
    await station.end();
  }
});
