// Script that somebody stored in names and labels is text in every page. (That it would be executed
// if it stood in the page as markup, the last lines of the case show: the content security policy
// would stop it then.)

import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station, recipeText } from "./station.mjs";

// No unit's memory has room for that, a barcode has: into every run of the records, past the triggers that keep them.
function putSerial(records, serial) {
  const script = `import sqlite3, sys
records = sqlite3.connect(sys.argv[1], timeout=10)
for (name,) in records.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = 'run'").fetchall():
    records.execute(f'DROP TRIGGER "{name}"')
records.execute("UPDATE run SET serial = ?", (sys.argv[2],))
records.commit()
print(records.total_changes)`;
  const done = spawnSync("python3", ["-c", script, records, serial], { encoding: "utf8" });
  ok(done.status === 0 && Number(done.stdout) > 0, `no serial was put in: ${done.stdout}${done.stderr}`);
}

const image = (what) => `<img src=x onerror=globalThis.${what}=1>`;

test("script in a recipe, a lot, a person, a label and an address is text", async () => {
  const recipe = recipeText().replace(/^name = .*$/m, `name = '${image("recipe")}'`);
  const station = await Station.start({ byHand: true, recipe, bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  const dialogs = [];
  page.page.on("dialog", (dialog) => { dialogs.push(dialog.message()); dialog.dismiss(); });
  const untouched = async (where) => {
    const found = await page.page.evaluate(() => ({
      done: ["recipe", "lot", "person", "label", "address", "serial"].filter((name) => globalThis[name] === 1),
      images: [...document.querySelectorAll("img")].map((one) => one.outerHTML),
    }));
    equal([found, dialogs], [{ done: [], images: [] }, []], `script at ${where}`);
  };
  try {
    await page.do("start");
    await station.post("/api/lot/start", { lot: image("lot"), operator: image("person"), units: 2 });
    await page.say("Load the next unit");
    await until("the lot's name is text", async () => (await page.text("body")).includes(image("lot")));
    process.kill(station.bench.child.pid, "SIGUSR2"); // a person's hands lay the units in
    await station.post("/api/nest/1/load", { label: image("label") });
    await until("the label is told", async () => (await page.text(".nest .note")).includes("Label and unit differ"));
    await untouched("the operator's page");
    await until("the unit is taken without its label", async () => (await station.post("/api/nest/1/load", { label: "" })).ok);
    await until("it runs", async () => (await page.marks())[0] === "running");
    await page.page.goto(`${station.address}/plan`);
    await until("the recipe's name is text", async () => (await page.text("body")).includes(image("recipe")));
    await untouched("the plan's page");
    await page.page.goto(`${station.address}/unit?serial=${encodeURIComponent(image("address"))}`);
    await until("the records do not know it", async () => (await page.text("#trouble")).includes("do not know this unit"));
    await untouched("the unit's page");
    // The quality team's pages meet the lot's name and the label as the records hold them, and a serial number.
    await station.post("/api/lot/stop");
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    putSerial(join(station.folder, "records.sqlite"), image("serial"));
    const names = ["lot", "address"].map((name) => `/yield?lot=${encodeURIComponent(image(name))}`);
    const shows = async () => (await page.page.$("main[aria-busy]")) === null &&
      ((await page.page.$$("main > *")).length > 0 || (await page.text("#trouble")) !== "");
    for (const sheet of ["/quality", "/yield", "/capability", "/chart", "/drift", "/gauge", "/in-doubt", "/dispositions?which=released", "/sampling", "/trace", "/audit", ...names]) {
      await page.page.goto(station.address + sheet);
      await until(`${sheet} is drawn`, shows);
      if (sheet === "/trace") ok((await page.text("main")).includes(image("serial")), "the serial number is not shown");
      await untouched(sheet);
    }
    ok((await page.page.evaluate(async (text) => {
      document.body.insertAdjacentHTML("beforeend", text);
      await new Promise((done) => setTimeout(done, 300));
      return globalThis.address;
    }, image("address"))) !== 1, "the policy lets inline script run");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource|Content Security Policy|status of 40[04]/]);
});
