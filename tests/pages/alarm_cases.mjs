// Charts that are kept with their recipe by page, their alarms and the replies, and limits to try.
// From the ninth unit on every reference of every nest is 20 % off: gain as found then stands some
// seven sigmas from where eight sound units had it, so that alarms are certain.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { drawn, shown, tablesEqualCsv } from "./tables.mjs";
import { views } from "./views.mjs";

const channels = [0, 1, 2, 3, 4, 5, 6, 7], nests = [1, 2, 3, 4];
const drift = nests.flatMap((nest) => channels.map((channel) => `9:step_drift@${nest}.${channel}=20`)).join(",");
const question = "check=gain&key=timer";

async function lot(station, name) {
  await until(`lot ${name} starts`, async () => (await station.post("/api/lot/start", { lot: name, units: 8, operator: "M" })).ok);
  await until(`lot ${name} ends`, async () => (await station.get("/api/status")).state !== "running", 120000);
}
const quiet = async () => {
  const station = await Station.start({ bench: ["--units", "32", "--defects", "none", "--fault", drift] });
  await lot(station, "A-1");
  return station;
};
const open = async (station) => (await station.get("/api/quality/alarms")).alarms;
const asks = (page) => until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
const type = async (page, name, text) => {
  await page.page.focus(`dialog [name=${name}]`);
  await page.page.$eval(`dialog [name=${name}]`, (field) => { field.value = ""; });
  await page.page.keyboard.type(text);
};
const wrong = (page, text) => until(`it says ${text}`, async () => (await page.text("dialog .wrong")).includes(text));
const done = (page, text) => until(`done: ${text}`, async () => (await page.text("#done")).includes(text));

test("charts are kept with their recipe, alarms are told and replied to, all by keyboard", async () => {
  const station = await quiet();
  const page = await Page.open(`${station.address}/operator.html`);
  try {
    await shown(page, `${station.address}/chart?${question}&nest=1`);
    ok((await page.text("#sentences")).includes("No chart is kept with its recipe yet"), await page.text("#sentences"));
    await page.press("F4");
    await asks(page);
    ok((await page.text("dialog")).includes("Check: gain; Key: timer; Nest: 1"), "of which charts it asks");
    await page.accessible("the sheet that asks whether charts are kept");
    await page.press("Enter");
    await wrong(page, "Give a reason first.");
    await type(page, "who", "Q");
    await type(page, "why", "first lot");
    await page.press("Enter");
    await wrong(page, "Leave nest, station and fixture out.");
    await page.press("Escape");
    await until("it asks no longer", async () => (await page.page.$("dialog")) === null);
    await shown(page, `${station.address}/chart?${question}`);
    await page.press("F4");
    await asks(page);
    await page.shot("chart-keep");
    await type(page, "why", "first lot");
    await page.press("Enter");
    await done(page, "2 charts frozen for recipe ");
    await drawn(page);
    ok((await page.text("#sentences")).includes("Alarms of frozen charts without a reply: 0"), await page.text("#sentences"));
    equal((await station.get(`/api/quality/chart?${question}`)).places[0].frozen.who, "Q", "who kept it");

    await lot(station, "A-2");
    await until("there are alarms", async () => (await open(station)).length > 0);
    const before = await open(station);
    await shown(page, `${station.address}/quality?lot=A-2`);
    ok((await page.text("#sentences")).includes(`without a reply: ${before.length}`), await page.text("#sentences"));
    await Promise.all([page.page.waitForNavigation(), page.page.$eval("#sentences a", (link) => link.click())]);
    await drawn(page);
    const there = new URL(page.page.url());
    equal([there.pathname, there.search, there.hash], ["/chart", "", "#alarms"], "the way there");
    equal(await page.text("#alarms h2"), `Alarms of frozen charts without a reply: ${before.length}`, "how many are open");
    ok(await page.page.$eval("#alarms", (list) => list.getBoundingClientRect().top < innerHeight), "the list is not in sight");
    equal(await page.page.$$eval("#alarms article", (all) => all.length), before.length, "alarms in the list");
    ok((await page.text("#alarms article")).includes(`alarm ${before[0].alarm}`), "the newest is not the first");
    ok((await page.text("#alarms article")).includes("Lot A-2"), await page.text("#alarms article"));
    await tablesEqualCsv(page, station, "/chart with alarms");
    await page.accessible("/chart with alarms");
    await page.shot("alarms");

    await page.page.focus("#alarms button");
    await page.press("Enter");
    await asks(page);
    await page.accessible("the sheet that asks for a reply");
    await page.shot("alarm-reply");
    await page.press("Enter");
    await wrong(page, "Give a reason first.");
    await type(page, "why", "reference of <b>nest 1</b> changed");
    await page.press("Enter");
    await done(page, `The reply to alarm ${before[0].alarm} is kept (Q): reference of <b>nest 1</b> changed`);
    await until("one is open no longer", async () => (await page.page.$$("#alarms article")).length === before.length - 1);
    await drawn(page);
    await Promise.all([page.page.waitForNavigation(), page.page.$eval("#alarms p a[href*='all=yes']", (link) => link.click())]);
    await drawn(page);
    equal(await page.page.$$eval("#alarms article", (all) => all.length), before.length, "all alarms");
    ok(/Q, \d{4}-\d{2}-\d{2} \d{2}:\d{2}: reference of <b>nest 1<\/b> changed/.test(await page.text("#alarms article")), await page.text("#alarms article"));
    await tablesEqualCsv(page, station, "/chart with all alarms");
    const audit = (await station.get("/api/audit")).entries.map((one) => [one.act, one.status]);
    ok(audit.some(([act, status]) => act === "POST /api/quality/alarm" && status === 202) && audit.some(([act, status]) => act === "POST /api/quality/freeze" && status === 409), JSON.stringify(audit));
    const reply = (await station.get("/api/audit")).entries.find((one) => one.act === "POST /api/quality/alarm");
    equal([reply.before.reply, reply.after.reply.who], [null, "Q"], "what the audit keeps");
    // From an alarm to the chart of its lot.
    await Promise.all([page.page.waitForNavigation(), page.page.$eval("#alarms article h3 a", (link) => link.click())]);
    await drawn(page);
    equal([new URL(page.page.url()).searchParams.get("key"), new URL(page.page.url()).searchParams.get("lot")], ["timer", "A-2"], "the alarm's chart");
    for (const view of views) {
      const seen = await Page.open(`${station.address}/chart?${question}&all=yes#alarms`, view);
      await drawn(seen);
      await seen.shot(`alarms-${view.width}-${view.theme}`);
      await seen.accessible(`alarms at ${view.width}, ${view.theme}`);
      await seen.close([/ERR_|Failed to load resource/]);
    }
    await page.press("F9");
    await until("it speaks German", async () => (await page.text("#alarms h2")).startsWith("Alarme festgehaltener Karten ohne Antwort"));
    await page.shot("alarms-german");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 40/]);
});

test("a reply that the page stopped waiting for is looked up before it is said to have failed", async () => {
  const station = await quiet();
  const page = await Page.open(`${station.address}/operator.html`);
  let kept = true;
  try {
    await station.post("/api/quality/freeze", { check: "gain", key: "timer", why: "x", who: "Q" });
    await lot(station, "A-2");
    await until("there are two alarms", async () => (await open(station)).length > 1);
    await page.page.setRequestInterception(true);
    page.page.on("request", async (request) => {
      if (!request.url().endsWith("/quality/alarm")) return request.continue();
      if (kept) await station.post("/api/quality/alarm", JSON.parse(request.postData()));
      await request.abort("timedout");
    });
    const reply = async (why) => {
      await page.page.focus("#alarms button");
      await page.press("Enter");
      await asks(page);
      await type(page, "who", "Q");
      await type(page, "why", why);
      await page.press("Enter");
    };
    await shown(page, `${station.address}/chart`);
    await reply("seen");
    await done(page, "is kept (Q): seen");
    await drawn(page);
    kept = false;
    await reply("not kept");
    await wrong(page, "The station did not answer in time.");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("limits to try stand beside their check alone, and count the values outside", async () => {
  const station = await Station.start({ bench: ["--units", "8", "--defects", "none"] });
  const page = await Page.open(`${station.address}/operator.html`);
  const query = () => new URL(page.page.url()).searchParams;
  try {
    await lot(station, "L-1");
    await shown(page, `${station.address}/capability`);
    equal(await page.page.$("input[name=low]"), null, "a limit without a check");
    await page.page.select("select[name=check]", "gain");
    await until("the limits are there", async () => (await page.page.$("input[name=high]")) !== null);
    await drawn(page);
    const { places } = await station.get("/api/quality/capability?check=gain&key=timer");
    const middle = places[0].mean;
    await page.page.type("input[name=low]", "1");
    await page.page.type("input[name=high]", String(middle));
    await page.press("Enter");
    await until("the address says so", () => query().get("high") === String(middle));
    await drawn(page);
    ok((await page.text("#sentences")).includes("As if the limits were"), await page.text("#sentences"));
    await tablesEqualCsv(page, station, "/capability with limits to try");
    await page.accessible("/capability with limits to try");
    await page.shot("capability-as-if");
    const told = (await station.get(`/api/quality/capability?${query()}&key=timer`)).places[0];
    ok(told.below === 0 && told.above > 0 && told.above < 8, `values outside: ${JSON.stringify(told)}`);
    await page.page.$eval("input[name=low]", (field) => { field.value = "9999"; });
    await page.page.focus("input[name=low]");
    await page.press("Enter");
    await until("it says what is wrong", async () => (await page.text("#trouble")).startsWith("low is not below high"));
    await page.page.select("select[name=check]", "offset");
    await until("another check has other limits", () => query().get("check") === "offset" && !query().get("low") && !query().get("high"));
    await drawn(page);
    equal(await page.text("#trouble"), "", "what is wrong then");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|status of 400/]);
});
