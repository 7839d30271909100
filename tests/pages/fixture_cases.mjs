// Work by hand on the fixture, by keyboard alone, on the virtual bench: what is connected reads
// back, steps are as long as they say, and everything ends with the lease. Keys and roles: WCAG 2.2
// by axe-core.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { views } from "./views.mjs";

const holdOf = (station) => station.get("/api/fixture/hold");
const state = (station, wanted) => until(`the hold is ${wanted}`, async () => (await holdOf(station)).state === wanted);
const enabled = (page, key) => until(`${key} may be pressed`, () =>
  page.page.$eval(`[aria-keyshortcuts="${key}"]`, (button) => !button.disabled));

async function take(page) {
  await until("it can be taken", async () => (await page.page.$("[aria-keyshortcuts=F2]")) !== null);
  await page.press("F2");
  await until("the cautions are shown", async () => (await page.text("dialog")).match(/emergency stop|Not-Halt/));
  await page.press("Enter");
  await until("reading comes first", async () => (await page.text("dialog .wrong")).length > 0);
  await page.press("Space"); // the tick has the focus
  await page.press("Tab");
  if (!(await page.page.$eval("dialog input[name=operator]", (field) => field.value))) await page.page.keyboard.type("E");
  await page.press("Enter");
  await until("the key to hold has the focus", () => page.page.evaluate(() => document.activeElement.id === "hold"));
}

test("the fixture by hand: taken with its cautions, connected, stepped and given back", async () => {
  const station = await Station.start({ rate: "3" });
  const page = await Page.open(`${station.address}/fixture`);
  try {
    await page.say("nobody's hand");
    await until("every contact is there", async () => (await page.page.$$(".contact")).length === 40);
    equal(await page.page.$$eval("main button:not([disabled])", (all) => all.map((one) => one.getAttribute("aria-keyshortcuts")).filter(Boolean)), ["F2", "F6"], "what may be pressed");
    equal((await station.post("/api/fixture/take", { operator: "M" })).status, 400, "without having read the cautions");
    await take(page);
    await page.page.keyboard.down("Space"); // held from here on
    await state(station, "held");
    equal((await station.post("/api/lot/start", { lot: "X", units: 1 })).status, 409, "a lot meanwhile");
    equal((await station.post("/api/shift-check/start", { operator: "M" })).status, 409, "a shift check meanwhile");
    equal((await station.post("/api/fixture/take", { operator: "N", cautions_read: true })).status, 409, "a second hand");
    equal((await station.post("/api/fixture/finger", { lease: "guessed", act: "home" })).status, 409, "a guessed lease");

    await enabled(page, "Home");
    equal(await page.page.$eval("[aria-keyshortcuts=ArrowRight]", (button) => button.disabled), true, "a step before it knows its place");
    await page.press("Home");
    await enabled(page, "ArrowRight");
    await page.press("F4"); // over the first key, at the safe height
    await until("it is over the key", async () => (await holdOf(station)).finger?.x_mm > 20);
    await enabled(page, "ArrowRight");
    const before = (await holdOf(station)).finger;
    await page.press("F3"); // 5 mm
    for (const [key, x, y, z] of [["ArrowRight", 5, 0, 0], ["ArrowUp", 5, 5, 0], ["PageDown", 5, 5, -5]]) {
      await enabled(page, key);
      await page.press(key);
      await until(`${key} is made`, async () => {
        const at = (await holdOf(station)).finger;
        return at && [at.x_mm - before.x_mm - x, at.y_mm - before.y_mm - y, at.z_mm - before.z_mm - z].every((off) => Math.abs(off) < 0.02);
      });
    }
    await enabled(page, "End");
    await page.press("End");
    await until("it is lifted", async () => (await holdOf(station)).finger?.z_mm >= 40);
    for (const theme of ["light", "dark"]) {
      await page.page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: theme }]);
      await page.accessible(`the fixture's page, ${theme}`);
    }
    await page.page.keyboard.up("Space");
    // With the hand off the key an act keeps it, for four seconds.
    await page.page.evaluate(() => document.querySelector('.contact[tabindex="0"]').focus());
    await page.press("ArrowDown");
    await page.press("ArrowRight");
    const label = await page.page.evaluate(() => document.activeElement.getAttribute("aria-label"));
    ok(label.startsWith("Connect R2, nest 1, channel 1"), label);
    await enabled(page, "End");
    await page.press("Enter");
    await until("it is connected", async () => (await holdOf(station)).connected?.reference === "R2");
    await until("the page says so", async () => (await page.text("#connected")).includes("R2 on nest 1, channel 1"));
    await page.shot("fixture-connected");
    await page.press("Escape");
    await state(station, "over");
    await until("the page says by whom", async () => (await page.text("#told")).includes("Given back by E"));
    await until("where the finger stood last is drawn", async () => (await page.page.$(".tip.was")) !== null);
    await page.page.evaluate(() => scrollTo(0, 0));
    await page.shot("fixture-last-known");
    equal((await holdOf(station)).connected, null, "connected afterwards");
    const { entries } = await station.get("/api/audit");
    const acts = entries.map((one) => one.act);
    for (const act of ["POST /api/fixture/take", "home the finger", "step the finger", "connect R2", "POST /api/fixture/give-back"]) ok(acts.includes(act), `no ${act} in the audit`);
    ok(!acts.includes("POST /api/fixture/renew"), "every second in the audit");
    ok(!JSON.stringify(entries).includes('\\"lease\\"'), "a lease in the audit");
    const connected = entries.find((one) => one.act === "connect R2");
    equal([connected.before.connected, connected.after.connected.reference, connected.who], [null, "R2", "E"], "before and after");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("the fixture by hand ends without a hand, with a closed page and with an open guard", async () => {
  const station = await Station.start({ rate: "3" });
  const page = await Page.open(`${station.address}/fixture`);
  try {
    await take(page);
    await state(station, "held");
    const begin = performance.now();
    await state(station, "over"); // nobody holds the key
    ok(performance.now() - begin < 6000, "an abandoned tab keeps its lease");
    await until("the page says why", async () => (await page.text("#told")).includes("Nothing was heard"));
    await take(page);
    await page.page.keyboard.down("Space");
    await state(station, "held");
    await page.page.goto("about:blank");
    await state(station, "over");
    ok((await holdOf(station)).sentence.includes("Given back"), "a page that was left lets its lease run out");
    await page.page.keyboard.up("Space");
    await page.page.goto(`${station.address}/fixture`);
    await take(page);
    await page.page.keyboard.down("Space");
    await state(station, "held");
    station.turnGuard();
    await state(station, "over");
    await until("the page says why", async () => (await page.text("#told")).includes("guard"));
    await page.page.keyboard.up("Space");
    station.turnGuard();
    equal((await station.post("/api/lot/start", { lot: "Y", units: 1 })).status, 202, "a lot afterwards");
    await page.say("A lot runs");
    equal((await station.post("/api/fixture/take", { operator: "M", cautions_read: true })).status, 409, "by hand while a lot runs");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("the fixture's page by hand in every size, theme and language, and Tab reaches every control", async () => {
  const station = await Station.start({ rate: "3" });
  try {
    for (const [i, view] of views.entries()) {
      const page = await Page.open(`${station.address}/fixture`, view);
      const german = i % 2 === 1;
      await page.page.evaluate((language) => localStorage.setItem("language", language), german ? "de" : "en");
      await page.page.reload();
      await page.say(german ? "in niemandes Hand" : "nobody's hand");
      await page.accessible(`idle, ${view.width} ${view.theme}`);
      await take(page);
      await page.page.keyboard.down("Space");
      await state(station, "held");
      await enabled(page, "Home");
      await page.press("Home");
      await enabled(page, "ArrowRight");
      await until("it is told", async () => (await page.text("#told")).includes(german ? "Der Finger steht bei" : "The finger stands at"));
      await page.shot(`fixture-${view.width}-${view.theme}`);
      const wide = await page.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      ok(wide <= 0, `${wide} px are cut off at ${view.width}`);
      await page.accessible(`in hand, ${view.width} ${view.theme}`);
      const controls = await page.page.$$eval("main button[aria-keyshortcuts]:not([disabled])", (all) => all.map((one) => one.getAttribute("aria-keyshortcuts")));
      ok(controls.length >= 11, `too few controls: ${controls}`);
      const reached = new Set();
      for (let n = 0; n < 30; ++n) {
        reached.add(await page.page.evaluate(() => document.activeElement.getAttribute("aria-keyshortcuts")));
        await page.press("Tab");
      }
      for (const control of controls) ok(reached.has(control), `Tab does not reach ${control}`);
      await page.page.keyboard.up("Space");
      await page.press("Escape");
      await state(station, "over");
      await page.close([/ERR_|Failed to load resource/]);
    }
  } finally {
    await station.end();
  }
});
