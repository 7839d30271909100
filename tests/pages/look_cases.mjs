// The pages at two sizes, light and dark, for a person to look at; here only that nothing is cut off
// and that the drawings are as large as can be.

import { Page } from "./browser.mjs";
import { ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
import { drawn } from "./tables.mjs";
import { views } from "./views.mjs";

// Elements that reach beyond the window, or hide a part of themselves.
const cutOff = () => [...document.querySelectorAll("h1, .caution, .nest, #count, #bar button, #title-block, #desk form")]
  .filter((element) => {
    const box = element.getBoundingClientRect();
    return box.width > 0 && (box.right > innerWidth + 1 || box.bottom > innerHeight + 1 || box.left < -1);
  }).map((element) => element.id || element.className || element.tagName);

test("nothing is cut off at any size, light or dark", async () => {
  const station = await Station.start({ rate: "3", bench: ["--defects", "1:thick_glue@5,3:dead_channel@2"] });
  const pages = [];
  try {
    for (const view of views)
      pages.push([`${view.width}-${view.theme}`, await Page.open(station.address, view)]);
    const look = async (when) => {
      for (const [name, view] of pages) {
        await view.page.bringToFront();
        await until("it is drawn", async () => (await view.page.$$(".nest svg")).length === 4);
        await view.shot(`${when}-${name}`);
        const cut = await view.page.evaluate(cutOff);
        ok(cut.length === 0, `${when}-${name}: cut off: ${cut.join(", ")}`);
        await view.accessible(`${when}-${name}`);
      }
    };
    await look("idle");
    await station.post("/api/lot/start", { lot: "2231-B", units: 12, operator: "M" });
    await until("some have ended", async () => (await station.get("/api/status")).count.loaded >= 5, 90000);
    await look("running");
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 120000);
    await look("ended");
  } finally {
    await station.end();
  }
  for (const [, view] of pages) await view.close([/ERR_|Failed to load resource/]);
});

// Every page with data, for a person to look at: long runs alone. What of a page comes last stands
// beside its name; the quality sheets say themselves when they are drawn.
const every = { operator: ["/", ".nest svg"], plan: ["/plan", "#permits *"], fixture: ["/fixture", "#wear table"], accounts: ["/accounts", "#logins form"], missing: ["/no-such-page", "h1"], unit: ["/unit?serial={serial}", ".run table"],
  overview: ["/quality"], yield: ["/yield"], capability: ["/capability?check=gain"], chart: ["/chart?check=touch+response"], drift: ["/drift?check=gain"], gauge: ["/gauge"], doubt: ["/in-doubt"], dispositions: ["/dispositions"], sampling: ["/sampling"], trace: ["/trace?relay=1"], audit: ["/audit"] };
const overflowing = () => (document.documentElement.scrollWidth > innerWidth + 1 ? [document.documentElement.scrollWidth] : []);

if (process.env.PADTRIM_LONG === "1") test("every page with data, in every size and theme", async () => {
  const station = await Station.start({ bench: ["--units", "24", "--defects", "2:thick_glue@5,3:dead_channel@2,5:trims_lost_at_power_off,9:noisy_supply"] });
  try {
    for (const lot of ["2231-A", "2231-B"]) {
      await station.post("/api/lot/start", { lot, units: 12, operator: "M" });
      await until(`lot ${lot} has ended`, async () => {
        const { state, lot: now, count } = await station.get("/api/status");
        return now === lot && count.loaded >= 12 && state !== "running";
      }, 120000);
    }
    await station.post("/api/quality/sampling-plan", { product: (await station.get("/api/panel")).product, step: "touch response", aql: 1, who: "Q", why: "it takes a minute" });
    await station.post("/api/quality/sampling-units", { plan: 1, lot: "2232", size: 500, who: "Q" });
    const { serial } = (await station.get("/api/quality/dispositions")).units.find((unit) => unit.serial);
    for (const view of views) for (const [name, [place, last]] of Object.entries(every)) {
      const page = await Page.open(station.address + place.replace("{serial}", serial), view), where = `every-${name}-${view.width}-${view.theme}`;
      if (last) await until(`${where} stands`, async () => (await page.page.$(last)) !== null);
      else await drawn(page);
      await page.page.screenshot({ path: page.place(where), fullPage: !["operator"].includes(name) });
      const wide = await page.page.evaluate(overflowing);
      ok(wide.length === 0, `${where}: wider than the window: ${wide}`);
      await page.close([/ERR_|Failed to load resource|404/]);
    }
  } finally {
    await station.end();
  }
});
