// The operator's journey, with no mouse and no command line.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station, recipeText } from "./station.mjs";

const asking = `padtrim_recipe = 1
name = "look"
revision = "A"
product = "Hob Panel 8"
[[step]]
do = "identify"
[[step]]
do = "ask the operator"
text = "Is the label straight?"
picture = "label.png"
`;

async function startLot(page, lot, units, person = "M") {
  await page.do("start");
  await until("the first field has the focus", async () => (await page.focused()) === "lot");
  await page.scan(lot);
  await page.scan(units);
  // The name stays from the last time.
  const known = await page.page.$eval("input[name=operator]", (field) => field.value);
  await page.scan(known ? "" : person);
}

async function putAside(page, times) {
  equal(times, 1, "units to put aside");
  await page.say("Set aside.");
  await page.shot("set-aside");
  const failed = await page.page.$eval(".nest[data-mark=fail]", (nest) => ({
    leader: nest.querySelectorAll(".leader").length, cross: nest.querySelectorAll(".key.fail .cross").length,
    word: nest.querySelector(".word").textContent, serial: nest.querySelector(".serial").textContent,
  }));
  equal([failed.leader, failed.word, failed.serial], [1, "FAIL", "Nest 2 HOB8-00002"], "the failed nest");
  ok(failed.cross >= 1, "no key is crossed");
  await page.scan("ANOTHER-UNIT");
  await until("a wrong label is refused", async () => (await page.text("#desk .wrong")).includes("That is ANOTHER-UNIT"));
  equal(await page.kind(), "aside", "after a wrong label");
  await page.press("Backspace"); // the refused text is marked: one key takes it away
  await page.press("Enter");
  await until("it is away", async () => (await page.kind()) !== "aside");
}

test("a lot from start to end with a scanner and Enter", async () => {
  const station = await Station.start({ byHand: true, bench: ["--defects", "2:dead_channel@3"] });
  const page = await Page.open(station.address);
  try {
    await page.say("Start a lot.");
    equal(await page.marks(), ["waiting", "waiting", "waiting", "waiting"], "before a lot");
    ok((await page.text("#caution")).includes("hands out"), "the cautions are not there");
    await startLot(page, "L-7", "4");
    await page.say("Load the next unit into nest");
    // Whenever a unit is to be put away, that comes first, in the middle of a scan too.
    let aside = 0;
    const units = async () => (await station.get("/api/status")).tape.length;
    while (true) {
      const kind = await until("something is to do", async () => {
        const now = await page.kind();
        return ["load", "aside", "start"].includes(now) ? now : "";
      }, 60000);
      if (kind === "start") break; // the lot has ended, and every unit is away
      if (kind === "aside") {
        await putAside(page, ++aside);
        continue;
      }
      const taken = await units(), nest = (await page.text("#desk label")).match(/\d/)[0];
      await page.scan(`HOB8-0000${nest}`);
      await until("it is taken, or another thing comes first", async () =>
        (await units()) > taken || (await page.kind()) !== "load").catch(async (late) => {
        throw new Error(`${late.message}; the page says ${await page.text("#desk")}, ${await page.focused()} has the focus`);
      });
    }
    equal(aside, 1, "units put aside");
    await page.say("Start a lot.");
    equal(await page.page.$eval("#sentence", (heading) => heading.classList.contains("stop")), false, "the colour of a sentence about no unit");
    await until("all marks are on the tape", async () =>
      (await page.page.$$("#lot svg[role=group] .mark")).length === 4);
    ok((await page.text("#count")).startsWith("loaded 4 = pass 3 + fail 1 + inconclusive 0"), await page.text("#count"));
    const status = await station.get("/api/status");
    equal([status.count.pass, status.count.fail, status.lot], [3, 1, "L-7"], "what the station says");
    await page.accessible("after a lot");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("whoever loads with the guard open is asked once more", async () => {
  const station = await Station.start({ byHand: true, bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await startLot(page, "G", "1");
    await page.say("Load the next unit into nest");
    station.turnGuard();
    await page.do("load");
    await page.scan("HOB8-00001");
    await page.say("Guard or emergency stop is open.");
    await page.say("press Enter once more");
    await page.shot("guard-at-loading");
    const running = async () => (await page.marks()).includes("running");
    ok(!(await running()), "it runs under an open guard");
    station.turnGuard();
    // The bench turns its guard when it comes to it; a person presses again while the page asks.
    await until("it runs", async () => {
      if (await running()) return true;
      if ((await page.sentence()).includes("press Enter once more")) await page.press("Enter");
      return false;
    });
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    equal((await station.get("/api/status")).count.pass, 1, "units that passed");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a guard open at rest is said before a start, and goes by itself", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await page.say("Start a lot.");
    ok((await page.text("#desk")).includes("looked at once a second"), "how the guard is watched at rest");
    station.turnGuard();
    await page.say("Close the guard, hands out; then a lot can start.");
    await until("it is in the way of a start", () => page.page.$eval("#desk button[type=submit]", (button) => button.disabled));
    equal(await page.page.$$eval("#desk .obstacles", (lists) => lists.length), 0, "lists that say it once more");
    await page.shot("guard-at-rest");
    await page.accessible("with the guard open at rest");
    // What was typed, and where, stays when the sentence goes.
    await page.do("start");
    await until("the first field has the focus", async () => (await page.focused()) === "lot");
    await page.scan("L-9");
    equal(await page.focused(), "units", "where a scan leads");
    await page.page.keyboard.type("1");
    station.turnGuard();
    await page.say("Start a lot.");
    equal(await page.focused(), "units", "the field that somebody was in");
    await page.press("Enter");
    await page.scan("M");
    await until("the lot has ended", async () => (await station.get("/api/status")).ended === "no more units", 60000);
    equal((await station.get("/api/status")).count.pass, 1, "units that passed");
    // Again after a lot, and a person by hand gets the ports from whoever looks.
    await page.say("Start a lot.");
    station.turnGuard();
    await page.say("Close the guard, hands out");
    station.turnGuard();
    await page.say("Start a lot.");
    for (let time = 0; time < 3; ++time) {
      const taken = await station.post("/api/fixture/take", { operator: "M", cautions_read: true });
      equal(taken.status, 202, "taken in hand");
      const { lease } = await taken.json();
      await page.say("M works on the fixture by hand.");
      await station.post("/api/fixture/give-back", { lease });
      await page.say("Start a lot.");
    }
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a unit that passed in another lot is set aside, and run again by who wants it", async () => {
  const station = await Station.start({ byHand: true, bench: ["--defects", "none", "--units", "4"] });
  const page = await Page.open(station.address);
  const load = async (serial) => {
    await page.say("Load the next unit into nest");
    await page.do("load");
    await page.scan(serial);
  };
  const ended = async () => {
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    return (await station.get("/api/status")).count;
  };
  try {
    await startLot(page, "L-1", "1");
    await load("HOB8-00001");
    equal((await ended()).pass, 1, "units that passed");
    await page.say("Start a lot.");
    await startLot(page, "L-2", "1");
    await load("HOB8-00001");
    await until("it is set aside", async () => (await page.marks()).includes("removed"), 60000);
    const { reason, sentence } = (await station.get("/api/status")).nests[0];
    ok(/^The unit passed in lot L-1 on \d{4}-\d\d-\d\d already\.$/.test(reason), reason);
    equal(sentence, "Take it out, or start a lot that runs passed units again.", "what to do");
    await page.shot("passed-before");
    const count = await ended();
    equal([count.pass, count.removed], [0, 1], "what the second lot counts");
    await page.press("F9");
    await until("in German", async () => (await page.text("#nests")).includes("war in Los L-1 am"));
    await page.press("F9");
    await page.do("aside");
    await page.press("Enter");
    // The way out, by keyboard.
    await page.do("start");
    await page.page.focus("input[name=again]");
    await page.press("Space");
    await page.page.focus("input[name=lot]");
    await page.scan("L-3");
    await page.scan("1");
    await page.press("Enter");
    await load("HOB8-00001");
    await until("the page says so", async () => (await page.text("#title-block")).includes("passed units too"));
    const again = await ended();
    equal([again.pass, again.removed], [1, 0], "what the third lot counts");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a question is answered with one key, and a scan does not answer it", async () => {
  const station = await Station.start({ recipe: asking, bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await startLot(page, "Q", "1");
    await page.say("Is the label straight? See label.png. Answer yes or no.");
    await page.do("question");
    await page.scan("YN-12345");
    await page.shot("question");
    equal(await page.kind(), "question", "after a stray scan");
    await page.press("F7");
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running");
    equal((await station.get("/api/status")).count.fail, 1, "units that failed");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("no more units, and a unit aborted, after a word of warning", async () => {
  const station = await Station.start({ rate: "4", bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await startLot(page, "A", "");
    await until("a unit runs", async () => (await page.marks()).includes("running"));
    await page.press("F8");
    const dialog = await page.text("dialog");
    ok(dialog.includes("no verdict") && dialog.includes("quarantined"), dialog);
    await page.shot("abort");
    await page.accessible("abort sheet");
    await page.press("Escape");
    await until("the sheet is gone", async () => (await page.page.$("dialog")) === null);
    equal((await station.get("/api/status")).count.loaded, 0, "units that ended");
    await page.press("F4");
    await page.press("Enter");
    await until("it runs out", async () => (await station.get("/api/status")).stopping);
    await until("the sheet is gone", async () => (await page.page.$("dialog")) === null);
    await page.press("F8");
    await page.press("Enter");
    await until("one unit has no verdict", async () => (await station.get("/api/status")).count.no_verdict >= 1);
    await until("the lot has ended", async () => (await station.get("/api/status")).state === "ready", 90000);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("an open guard stops the station, and a person with a name clears it", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await startLot(page, "G", "4");
    await until("a unit runs", async () => (await page.marks()).includes("running"), 60000);
    station.turnGuard();
    await page.say("Close the guard, hands out.", 60000);
    await page.do("clear");
    await page.shot("guard");
    await page.accessible("blocked");
    await page.page.$eval("input[name=operator]", (field) => { field.value = ""; });
    await page.press("Enter");
    await until("a name is asked for", async () => (await page.text("#desk .wrong")).includes("Say who you are"));
    await page.scan("M");
    await page.do("start");
    // In the page's head, or below it where a unit of the lot comes first.
    await until("the guard is in the way of the next", async () => /Close the guard, hands out/.test(await page.text("main")));
    equal((await station.get("/api/status")).state, "ready", "the station's state");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("what is in the way of a start is said before it, with the way out", async () => {
  const station = await Station.start({ released: false, recipe: recipeText(), bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await page.do("start");
    const said = await page.text(".obstacles");
    ok(/releas/i.test(said) && !said.includes("padtrim "), said);
    await page.say("Have the plan released.");
    await page.shot("not-released");
    await page.accessible("not released");
    station.daemon.signal("SIGTERM");
    await station.daemon.ended;
    station.release();
    await station.serve(station.port);
    await until("nothing is in the way", async () => (await page.page.$(".obstacles")) === null);
    await startLot(page, "R", "1");
    await until("the lot has ended", async () => (await station.get("/api/status")).count.pass === 1, 60000);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a unit under another's label is put apart before anything is done to it", async () => {
  const station = await Station.start({ byHand: true, bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await startLot(page, "W", "1");
    await page.say("Load the next unit into nest");
    await page.do("load");
    await page.scan("HOB8-00002");
    await page.say("Nest 1: Take it out, then scan the label of the unit that you lay in.");
    ok((await page.text(".nest .note")).includes("HOB8-00002 was scanned for nest 1, and the unit in it says HOB8-00001."), "the nest does not say why");
    ok((await page.text("#count")).includes("removed 1"), await page.text("#count"));
    await page.do("aside");
    await page.shot("label-differs");
    await page.press("Enter");
    await page.do("load");
    await page.scan("HOB8-00001");
    await until("the lot has ended", async () => (await station.get("/api/status")).state !== "running", 60000);
    const { count } = await station.get("/api/status");
    equal([count.pass, count.fail, count.removed], [1, 0, 0], "what became of it");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
