// How the quality sheets behave when the station is slow, silent or cut off, and how their charts tell
// things apart without colour. Two seconds until a lost line is said: common practice, no source.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

const drawn = (page) => until("it is drawn", async () => (await page.page.$("main[aria-busy]")) === null && (await page.page.$$("main figure, main .units, main .steps")).length > 0);

async function lineWithALot(units = 4) {
  const station = await Station.start({ bench: ["--units", "12", "--defects", "2:thick_glue@5,3:trims_lost_at_power_off"] });
  await station.post("/api/lot/start", { lot: "S-1", units, operator: "M" });
  await until("the lot ends", async () => (await station.get("/api/status")).state !== "running", 120000);
  return station;
}

const acts = (page) => page.page.$$eval("[data-act]", (all) => all.map((one) => one.disabled));

test("a quality sheet says that the line is lost, and lets nobody ask or decide until it is back", async () => {
  const station = await lineWithALot();
  const page = await Page.open(`${station.address}/dispositions`);
  try {
    await drawn(page);
    await until("all acts live", async () => (await acts(page)).length >= 4 && (await acts(page)).every((one) => !one));
    await page.page.focus(".unit button");
    await page.press("Enter");
    await until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
    station.daemon.signal("SIGSTOP");
    await until("it says so, also where it asks", async () =>
      (await page.page.$$eval("[data-line]", (all) => all.map((one) => one.textContent))).every((one) => one.startsWith("Connection lost")), 4000);
    ok((await acts(page)).every(Boolean), "an act looks alive");
    equal(await page.text("#trouble"), "", "what is wrong with the question");
    await page.shot("sheet-lost");
    station.daemon.signal("SIGCONT");
    await until("it is back", async () => (await acts(page)).every((one) => !one));
    equal(await page.page.$$eval("[data-line]", (all) => all.map((one) => one.textContent).join("")), "", "what it says then");
  } finally {
    station.daemon.signal("SIGCONT");
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a slow old answer does not overwrite a newer one, and a script that was lost is asked for again", async () => {
  const station = await lineWithALot();
  const page = await Page.open(`${station.address}/operator.html`);
  const held = [];
  let losses = 2;
  await page.page.setRequestInterception(true);
  page.page.on("request", (request) => {
    if (request.url().includes("/charts/drawing.js") && losses > 0) { --losses; request.abort("connectionreset"); return; }
    if (/quality\/yield.*by=nest.*format=sheet/.test(request.url())) held.push(request);
    else request.continue();
  });
  try {
    await page.page.goto(`${station.address}/yield`);
    await until("it is drawn at the third try", async () => (await page.page.$("main .drawing svg")) !== null);
    equal(losses, 0, "scripts that were lost");
    await page.page.select("select[name=by]", "nest");
    await until("the old question is on its way", () => held.length === 1);
    await page.page.select("select[name=by]", "station");
    const groups = () => page.page.$$eval("#table-1 tbody tr td:first-child", (cells) => cells.map((one) => one.textContent));
    await until("the new answer is there", async () => (await groups()).includes("line-3"));
    await drawn(page);
    const last = page.page.waitForResponse((response) => /quality\/failures.*format=sheet/.test(response.url()));
    await held[0].continue();
    await last; // the old question's second half
    await page.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    ok((await groups()).includes("line-3"), `the old answer came last and stands there: ${await groups()}`);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a decision that the page stopped waiting for is looked up before it is said to have failed", async () => {
  const station = await lineWithALot();
  const page = await Page.open(`${station.address}/dispositions`);
  let kept = true;
  await page.page.setRequestInterception(true);
  page.page.on("request", async (request) => {
    if (!request.url().endsWith("/dispose")) return request.continue();
    if (kept) await station.post("/api/quality/dispose", JSON.parse(request.postData()));
    await request.abort("timedout");
  });
  const decide = async (to, why) => {
    await page.page.focus(".unit button");
    await page.press("Enter");
    await until("it asks", async () => (await page.page.$("dialog[open]")) !== null);
    await page.page.select("select[name=to]", to);
    await page.page.$eval("input[name=who]", (field) => { field.value = "Q"; });
    await page.page.focus("input[name=why]");
    await page.scan(why);
  };
  try {
    await drawn(page);
    await decide("quarantined", "look again");
    await until("it is kept, and said so", async () => (await page.text("#done")).includes("is now: quarantined (Q)."));
    equal(await page.page.$("dialog[open]"), null, "the sheet that asked");
    await drawn(page);
    kept = false;
    await decide("scrap", "broken");
    await until("nothing was kept, and it says so", async () => (await page.text("dialog .wrong")).startsWith("The station did not answer in time."));
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

// Points that signal are lettered as an ordered list of type "a" counts (WHATWG HTML, 4.4.5).
test("struck points have letters, and marks differ by shape and fill in light and dark", async () => {
  const station = await lineWithALot();
  try {
    for (const theme of ["light", "dark"]) {
      const page = await Page.open(`${station.address}/yield`, { theme });
      await drawn(page);
      const seen = await page.page.evaluate(async () => {
        const { chartFigure } = await import("/figures.js");
        const axis = (title) => ({ title, unit: "", scale: "number", names: [], low: null, high: null, share: false });
        const dots = Array.from({ length: 28 }, (_, i) => ({ x: i, y: i, remark: `U${i}: one point beyond 3 sigma` }));
        const chart = { id: "lettered", title: "lettered", sentence: "s", x: axis("x"), y: axis("y"), right: null, limits: [], below: false,
          series: [{ name: "values", shape: "line", stroke: "continuous", right: false, dots }], table: { title: "", columns: [], rows: [] } };
        const figure = chartFigure(chart, "/x?");
        document.querySelector("main").replaceChildren(figure.element);
        figure.draw();
        const letters = [...figure.element.querySelectorAll("svg text")].map((one) => one.textContent).filter((one) => /^[a-z]+$/.test(one) && one !== "x" && one !== "y");
        const yields = { ...chart, series: ["intervals", "points"].map((shape, i) => ({ ...chart.series[0], name: `s${i}`, shape, dots: [{ x: 0, y: 0.5, low: 0.2, high: 0.8 }] })) };
        const options = padtrimDrawing.optionsOf(yields, false, 600);
        return { letters, list: figure.element.querySelector("ol.remarks").type,
          marks: options.series.filter((one) => one.type === "scatter").map((one) => [one.symbol, one.itemStyle.color]),
          legend: options.legend.data.map((one) => [one.icon, one.itemStyle.color]) };
      });
      await page.shot(`sheet-letters-${theme}`);
      equal(seen.list, "a", "how the list counts");
      // Those beside the axis titles' own x and y, which are left out above.
      const wanted = Array.from({ length: 28 }, (_, i) => (i < 26 ? "abcdefghijklmnopqrstuvwxyz"[i] : `a${"ab"[i - 26]}`)).filter((one) => one !== "x" && one !== "y");
      equal(seen.letters.sort(), wanted.sort(), "letters at the points");
      ok(seen.marks[0][0] !== seen.marks[1][0] && seen.marks[0][1] !== seen.marks[1][1], `marks: ${JSON.stringify(seen.marks)}`);
      equal(seen.legend, seen.marks, `the legend in ${theme}`);
      await page.close([/ERR_|Failed to load resource/]);
    }
  } finally {
    await station.end();
  }
});

// Whether the window is drawn wider, or day turns to night in the system's settings.
test("charts stand again after the window and the theme change", async () => {
  const station = await lineWithALot();
  const page = await Page.open(`${station.address}/yield`);
  const charts = () => page.page.$$eval("main .drawing", (all) => all.map((one) => one.querySelectorAll("svg path, svg rect").length > 0));
  const ink = () => page.page.$eval("main .drawing.chart svg text", (text) => text.getAttribute("fill"));
  const whole = async (what) => {
    const drawn = await charts();
    ok(drawn.length > 0 && drawn.every(Boolean), `${what}: drawn are ${JSON.stringify(drawn)}`);
  };
  try {
    for (const path of ["/yield", "/chart", "/quality"]) {
      await page.page.goto(station.address + path);
      await drawn(page);
      await whole(path);
      const count = (await charts()).length, width = () => page.page.$eval("main .drawing svg", (one) => one.getBoundingClientRect().width);
      const before = await width();
      await page.page.setViewport({ width: 1600, height: 900 });
      await until("it is drawn as wide as its place", async () => (await width()) > before + 50);
      await whole(`${path}, wider`);
      const light = path === "/yield" ? await ink() : null;
      await page.page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: "dark" }]);
      if (light) await until("it is drawn in the other ink", async () => (await ink()) !== light);
      await whole(`${path}, dark`);
      equal((await charts()).length, count, `${path}: figures`);
      await page.page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: "light" }]);
      await page.page.setViewport({ width: 1280, height: 800 });
    }
    // What was drawn before is let go: a sheet may stand open all day.
    equal(await page.page.evaluate(() => {
      const room = document.querySelector("main .drawing.chart"), old = echarts.getInstanceByDom(room);
      padtrimDrawing.clear(room);
      return [old.isDisposed(), room.childElementCount];
    }), [true, 0], "a chart that was cleared");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("each time that a station was blocked can be chosen, and the choice is asked", async () => {
  const station = await lineWithALot();
  const page = await Page.open(`${station.address}/in-doubt`);
  const asked = [];
  try {
    await drawn(page);
    equal(await page.page.$("select[name=episode]"), null, "a choice where the station was never blocked");
    await page.page.setRequestInterception(true);
    page.page.on("request", async (request) => {
      const address = new URL(request.url());
      if (address.pathname !== "/api/quality/in-doubt") return request.continue();
      if (address.searchParams.get("format") === "sheet") asked.push(address.searchParams.get("episode"));
      address.searchParams.delete("episode");
      const body = await (await fetch(address)).json();
      // This bench's checks are good; two times in their place.
      if (body.episodes) body.episodes = ["2026-03-02", "2026-03-01"].map((day) => ({ fixture: "F", first_blocked: `${day}T06:00:00Z` }));
      await request.respond({ contentType: "application/json", body: JSON.stringify(body) });
    });
    await page.page.reload();
    await drawn(page);
    equal(await page.page.$$eval("select[name=episode] option", (all) => all.map((one) => one.textContent)), ["2026-03-02 06:00, F", "2026-03-01 06:00, F"], "the choice");
    await page.page.select("select[name=episode]", "2");
    await until("the earlier time is asked for", () => asked.at(-1) === "2");
    equal(new URL(page.page.url()).searchParams.get("episode"), "2", "the address");
    await drawn(page);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
