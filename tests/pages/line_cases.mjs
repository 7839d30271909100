// The line between page and station: lost, back, reloaded, crowded, abused.

import net from "node:net";
import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

test("a lost line shows within two seconds and heals by itself", async () => {
  const station = await Station.start({ rate: "2", bench: ["--defects", "none"] });
  const page = await Page.open(station.address);
  try {
    await page.say("Start a lot.");
    await station.post("/api/lot/start", { lot: "X", units: 8 });
    await until("units run", async () => (await page.marks()).includes("running"));
    // The page itself notes when it said so, by the clock that this process has too.
    await page.page.evaluate(() => {
      new MutationObserver(() => {
        if (document.body.classList.contains("lost")) globalThis.lostAt ??= Date.now();
      }).observe(document.body, { attributes: true });
    });
    const begin = Date.now();
    station.daemon.signal("SIGSTOP");
    await page.say("Look at the station itself.");
    const took = (await page.page.evaluate(() => globalThis.lostAt)) - begin;
    ok(took < 2000, `it took ${took} ms`);
    await page.shot("lost");
    station.daemon.signal("SIGCONT");
    await until("it is back", async () => !(await page.sentence()).includes("Look at the station"), 5000);
    await until("units run on", async () => (await page.marks()).includes("running"));
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

test("a reload in mid-run loses nothing", async () => {
  const station = await Station.start({ byHand: true, rate: "3", bench: ["--defects", "1:thick_glue@6"] });
  const page = await Page.open(station.address);
  try {
    await page.say("Start a lot.");
    await station.post("/api/lot/start", { lot: "X", units: 2, operator: "M" });
    for (const nest of [1, 2]) {
      await until(`nest ${nest} waits`, async () => (await station.post(`/api/nest/${nest}/load`, { label: "" })).ok);
    }
    await until("units run", async () => (await page.marks()).filter((mark) => mark === "running").length === 2);
    await page.page.reload();
    await until("they still run", async () => (await page.marks()).filter((mark) => mark === "running").length === 2);
    equal(await page.text("#title-block dd"), "X", "the lot");
    await page.do("aside", 60000);
    await page.page.reload();
    await page.do("aside");
    await until("the failed nest is drawn again", async () => (await page.marks())[0] === "fail");
    await page.press("Enter");
    await page.do("start", 60000);
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});

// One request as bytes; what comes back, or "" when the station just closes.
function raw(port, bytes) {
  return new Promise((done) => {
    let said = "";
    const socket = net.connect(port, "127.0.0.1", () => socket.write(bytes));
    socket.on("data", (more) => { said += more; });
    socket.on("close", () => done(said));
    socket.on("error", () => done(said));
    socket.setTimeout(3000, () => socket.destroy());
  });
}

test("fifty pages watch, rubbish comes in between, and the station answers at once", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  try {
    const watching = [];
    for (let n = 0; n < 50; ++n) watching.push(await fetch(`${station.address}/api/live`));
    ok(watching.every((one) => one.status === 200), "a page was refused");
    const readers = watching.map((one) => one.body.getReader());
    const first = await Promise.all(readers.map((reader) => reader.read()));
    ok(first.every(({ value }) => new TextDecoder().decode(value).startsWith("data: {")), "a page got no state");
    const rubbish = ["\x00\xff\r\n\r\n", "GET /api/live HTTP/1.1\r\n\r\n", `GET /${"x".repeat(9000)} HTTP/1.1\r\n\r\n`,
      "POST /api/lot/start HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999\r\n\r\n",
      "GET /api/live HTTP/1.1\r\nHost: station.example\r\n\r\n", "GET /%00%2e%2e/etc HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"];
    for (const bytes of rubbish) await raw(station.port, bytes);
    equal((await station.post("/api/lot/start", { lot: "X", units: 4 })).status, 202, "a start");
    const times = [];
    for (let n = 0; n < 50; ++n) {
      const begin = performance.now();
      equal((await station.get("/api/health")).ok, true, "health");
      times.push(performance.now() - begin);
    }
    times.sort((a, b) => a - b);
    ok(times[25] < 200, `half of the answers took longer than ${times[25].toFixed(0)} ms`);
    for (const reader of readers) await reader.cancel();
    equal((await fetch(`${station.address}/nothing`)).status, 404, "a page that is not there");
  } finally {
    await station.end();
  }
});

test("a page that is not there leads back", async () => {
  const station = await Station.start();
  const page = await Page.open(`${station.address}/nowhere`);
  try {
    await page.accessible("missing page");
    await page.press("Tab");
    await page.press("Enter");
    await page.say("Start a lot.");
  } finally {
    await station.end();
  }
  await page.close([/ERR_|Failed to load resource/]);
});
