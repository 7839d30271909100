// Languages, and what pages say to who cannot see them.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

test("every text is there in every language, with the same values", async () => {
  const station = await Station.start();
  const page = await Page.open(station.address);
  try {
    const tables = await page.page.evaluate(async () => (await import("/texts.js")).tables);
    const values = (text) => (text.match(/\{\w+\}/g) ?? []).sort();
    for (const [name, table] of Object.entries(tables)) {
      equal(Object.keys(table).sort(), Object.keys(tables.en).sort(), `texts of ${name}`);
      for (const key of Object.keys(table)) equal(values(table[key]), values(tables.en[key]), `${name}: ${key}`);
    }
    ok(Object.keys(tables).length >= 2, "one language only");
    await page.say("Start a lot.");
    await page.press("F9");
    await page.say("Ein Los starten.");
    equal(await page.page.evaluate(() => document.documentElement.lang), "de", "the page's language");
    await page.accessible("in German");
    await page.page.reload();
    await page.say("Ein Los starten.");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("every control says its key, and Tab reaches it", async () => {
  const station = await Station.start({ rate: "2", bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await page.say("Start a lot.");
    await station.post("/api/lot/start", { lot: "X", units: 8 });
    await until("units run", async () => (await page.marks()).includes("running"));
    const controls = await page.page.$$eval("button", (buttons) =>
      buttons.map((button) => [button.querySelector("kbd")?.textContent, button.getAttribute("aria-keyshortcuts")]));
    ok(controls.length >= 4, "too few controls");
    for (const [shown, told] of controls) equal(shown, told, "the key of a control");
    const reached = new Set();
    for (let n = 0; n < 20; ++n) {
      await page.press("Tab");
      reached.add(await page.page.evaluate(() => document.activeElement.getAttribute("aria-keyshortcuts")));
    }
    for (const [, told] of controls) ok(reached.has(told), `Tab does not reach ${told}`);
    await page.accessible("while a lot runs");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
