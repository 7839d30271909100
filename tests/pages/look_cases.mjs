// The pages at two sizes, light and dark, for a person to look at; here only that nothing is cut off
// and that the drawings are as large as can be.

import { Page } from "./browser.mjs";
import { ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";
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
