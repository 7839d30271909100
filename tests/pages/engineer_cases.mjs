// The engineer's pages: the plan with its times, every key's margins, a unit and its raw counts.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

test("the plan, its times, the margins and a unit's raw counts", async () => {
  const station = await Station.start({ bench: ["--defects", "1:thick_glue@5"] });
  const page = await Page.open(`${station.address}/plan`);
  try {
    await until("the score is drawn", async () => (await page.page.$$(".score-bar")).length > 5);
    const plan = await station.get("/api/plan");
    const shown = await page.text("#score-note");
    ok(shown.includes((plan.expected_ms / 1000).toFixed(1)), shown);
    await until("the releases are there", async () => (await page.text("#releases")).includes("suite"));
    equal(await page.text("#margins"), "No unit has ended yet.", "before a lot");
    await station.post("/api/lot/start", { lot: "P", units: 4, operator: "M" });
    await until("every key of four units", async () => (await page.page.$$("#margins tbody tr")).length === 4 * 8, 60000);
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    for (const theme of ["light", "dark"]) {
      await page.page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: theme }]);
      await page.shot(`plan-${theme}`);
      await page.accessible(`the plan's page, ${theme}`);
    }
    const { runs } = await station.get("/api/unit?serial=HOB8-00001");
    equal([runs[0].verdict, runs[0].reason.slice(0, 14)], ["fail", "Touch response"], `the unit with thick glue: ${runs[0].reason}`);
    await page.page.goto(`${station.address}/unit`);
    await until("the field has the focus", async () => (await page.focused()) === "serial");
    await page.scan("HOB8-00001");
    await until("its checks are there", async () => (await page.page.$$("details.checks tbody tr")).length === runs[0].result.checks.length);
    equal(await page.page.$eval(".run .nest", (nest) => [nest.dataset.mark, nest.querySelectorAll(".leader").length]), ["fail", 1], "the unit's drawing");
    ok(/touch response.*FAIL/i.test(await page.text(".nearest li")), "the worst check does not come first");
    await page.page.$eval("details.raw summary", (summary) => summary.focus());
    await page.press("Enter");
    const raw = await station.get(`/api/observations?run=${runs[0].run}`);
    const scans = raw.readings.reduce((sum, readings) => sum + readings.scans.length, 0);
    await until("its raw counts are there", async () => (await page.page.$$("details.raw tbody tr")).length === scans);
    await page.shot("unit");
    await page.accessible("the unit's page");
    await page.page.$eval("input[name=serial]", (field) => field.focus());
    await page.scan("NO-SUCH-UNIT");
    await until("it is not known", async () => (await page.text("#trouble")).includes("do not know this unit"));
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("the strips of a unit fill while it runs, in a drawing that stays", async () => {
  const station = await Station.start({ rate: "4", bench: ["--defects", "1:thick_glue@5"] });
  const page = await Page.open(station.address);
  const plan = await Page.open(`${station.address}/plan`);
  try {
    await page.say("Start a lot.");
    await station.post("/api/lot/start", { lot: "F", units: 4, operator: "M" });
    const filled = () => page.page.$$eval(".nest[data-mark=running]", (nests) =>
      nests.map((nest) => nest.querySelectorAll(".key .tick").length / 10));
    await until("every key of a running unit has its strip", async () => (await filled()).includes(8), 60000);
    await page.page.$$eval(".nest[data-mark=running] svg", (drawings) => drawings.forEach((one) => { one.dataset.seen = "yes"; }));
    await until("a key that is touched fails, and the drawing is the same", async () =>
      (await page.page.$$(".nest[data-mark=running] svg[data-seen] .key.fail .cross")).length === 1, 60000);
    await page.shot("strips-filling");
    ok((await plan.page.$$("#margins tbody tr")).length >= 8, "the engineer's table does not have the keys of running units");
    const status = await station.get("/api/status");
    const failing = status.nests.filter((nest) => nest.mark === "running").flatMap((nest) => nest.keys).filter((key) => key.verdict === "fail");
    equal(failing.map((key) => [key.key, key.check]), [["front", "touch response"]], "what the station says of the key");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
  await plan.close([/ERR_|Failed to load resource/]);
});
