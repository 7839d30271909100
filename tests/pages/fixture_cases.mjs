// Work by hand on the fixture, by keyboard alone, on the virtual bench: what is connected reads
// back, steps are as long as they say, and everything ends with the lease. Keys and roles: WCAG 2.2
// by axe-core; places of keys: the register map; rounding: JCGM 100:2008, 7.2.2 and 7.2.6.

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
    equal(await page.page.$$eval(".move:not(.over)", (all) => all.map((one) => /5 mm/.test(one.textContent))), Array(6).fill(true), "each line says how long its move is");
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
    equal(await page.page.$$eval(".contact[aria-pressed=true]", (all) => all.map((one) => one.closest(".field").querySelector(".field-name").textContent)), ["lock ch 1"], "whose contact is closed");
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

// Of the panel's outline on the page: where the middle of each key's contacts lies, from 0 to 1.
const placesDrawn = (page) => page.page.evaluate(() => {
  const panel = document.querySelector(".contact-panel").getBoundingClientRect();
  return [...document.querySelectorAll(".contact-drawing .field")].map((field) => {
    const { left, width, top, height } = field.getBoundingClientRect();
    return [field.querySelector(".contact").getAttribute("aria-label").match(/key ([^:]+):/)[1], (left + width / 2 - panel.left) / panel.width, (top + height / 2 - panel.top) / panel.height];
  });
});

test("the fixture's page draws contacts at their keys, rounds as its uncertainty wants, and chooses by keys", async () => {
  const station = await Station.start({ rate: "3" });
  const page = await Page.open(`${station.address}/fixture`);
  try {
    await until("every contact is there", async () => (await page.page.$$(".contact")).length === 40);
    const { keys, width_mm: wide, height_mm: high } = await station.get("/api/panel");
    equal(keys.map((key) => key.channels), keys.map((_, i) => [i]), "channels of the keys");
    const drawn = await placesDrawn(page);
    equal(drawn.map(([name]) => name), keys.map((key) => key.name), "keys with contacts");
    for (const [i, [name, x, y]] of drawn.entries())
      ok(Math.abs(x - keys[i].x_mm / wide) < 0.01 && Math.abs(y - 1 + keys[i].y_mm / high) < 0.02, `contacts of ${name} at ${x}, ${y}`);
    ok((await page.text(".contact")).includes("0.4955\u00b1 0.0040"), await page.text(".contact"));
    const rounded = await page.page.evaluate(async () => {
      const { measured } = await import("/local.js");
      return [[10.05762, 0.027], [100.02147, 0.00035], [0.4955, 0.004], [0.9996, 0.0996], [12345.6, 432]].map(([value, doubt]) => measured(value, doubt).join(" "));
    });
    equal(rounded, ["10.058 0.027", "100.02147 0.00035", "0.4955 0.0040", "1.00 0.10", "12350 430"], "values and uncertainties");
    const nests = () => page.page.$$eval("[aria-keyshortcuts=F7] [aria-pressed=true]", (all) => all.map((one) => one.textContent));
    equal(await nests(), ["1"], "the nest at first");
    await page.press("F7");
    await until("the next nest is drawn", async () => (await nests())[0] === "2" && (await page.page.$eval(".contact", (one) => one.getAttribute("aria-label"))).includes("nest 2"));
    equal((await page.page.$$eval(".pad.chosen", (all) => all.map((one) => one.dataset.nest))), ["2"], "the chosen key's nest");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("with an open guard the fixture's page says to close it, and cannot take it in hand", async () => {
  const station = await Station.start({ rate: "3" });
  const page = await Page.open(`${station.address}/fixture`);
  const disabled = (wanted) => until(`F2 ${wanted ? "may not" : "may"} be pressed`, () => page.page.$eval("[aria-keyshortcuts=F2]", (button, value) => button.disabled === value, wanted));
  try {
    await page.say("nobody's hand");
    station.turnGuard(); // while nobody holds it
    await page.say("Close the guard, hands out.");
    equal(await page.sentence(), "Close the guard, hands out.", "the one sentence");
    await disabled(true);
    await page.press("F2");
    equal(await page.page.$("dialog"), null, "a dialog at an open guard");
    await page.shot("fixture-guard-open");
    await page.accessible("the guard stands open");
    await page.press("F9");
    await page.say("Schutztür schließen, Hände heraus.");
    station.turnGuard();
    await page.say("in niemandes Hand");
    await disabled(false);
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
    await until("the page says why", async () => (await page.text("#told")).includes("guard door is open"));
    ok(!(await page.text("#told")).includes(station.ports), "the path of a port stands on the page");
    await page.say("Close the guard, hands out.");
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
      const top = () => page.page.$eval("#views", (one) => one.getBoundingClientRect().top);
      const before = await top();
      await page.press("Home");
      await enabled(page, "ArrowRight");
      equal(await top(), before, "the drawing's place once the finger knows its own");
      const below = await page.page.$$eval("#desk button, .move, #block button, #block select", (all) => all.filter((one) => one.getBoundingClientRect().bottom > innerHeight).map((one) => one.textContent));
      equal(below, [], `below the fold at ${view.width}`);
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
