// Logins: the first administrator by the printed code, an operator by keyboard, and what a page from
// elsewhere may not.

import { Page } from "./browser.mjs";
import { equal, ok, test, until } from "./cases.mjs";
import { Station } from "./station.mjs";

async function logIn(page, name, password) {
  await until("it asks for a login", async () => (await page.page.$("dialog[data-login]")) !== null);
  await page.page.keyboard.type(name);
  await page.press("Enter");
  await page.page.keyboard.type(password);
  await page.press("Enter");
}

test("from the printed code to an operator who starts a lot", async () => {
  const station = await Station.start({ bench: ["--defects", "none"] });
  await station.daemon.until("give the code ");
  const code = /give the code (\S+)\./.exec(station.daemon.said)[1];
  const admin = await Page.open(`${station.address}/accounts`);
  try {
    await until("the first form is there", async () => (await admin.page.$("input[name=code]")) !== null);
    await admin.accessible("the first login");
    const fill = async (name, text) => { await admin.page.focus(`input[name=${name}]`); await admin.page.keyboard.type(text); };
    await fill("code", code);
    await fill("name", "boss");
    await fill("password", "long enough");
    await admin.press("Enter");
    await until("the table of logins is there", async () => (await admin.text("#logins")).includes("boss"));
    await fill("name", "M");
    await fill("password", "pass word 1");
    await admin.press("Enter");
    await until("the operator is there", async () => (await admin.text("#logins")).includes("Remove M"));
    await admin.shot("logins");
    await admin.accessible("logins");

    equal((await fetch(`${station.address}/api/status`)).status, 401, "a call of nobody");
    const page = await Page.open(station.address);
    await until("it asks for a login", async () => (await page.page.$("dialog[data-login]")) !== null);
    await page.shot("login");
    await page.accessible("the login sheet");
    await logIn(page, "M", "pass word 1");
    await page.do("start");
    const cookies = await page.page.evaluate(() => document.cookie);
    equal(cookies, "", "what a script sees of the cookie");
    await until("the first field has the focus", async () => (await page.focused()) === "lot");
    await page.scan("L");
    await page.scan("1");
    await page.scan("somebody else");
    await until("the lot has passed", async () => (await page.text("#count").catch(() => "")).includes("pass 1"), 60000);
    const forged = await page.page.evaluate(async () => (await fetch("/api/lot/stop", {
      method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" })).status);
    equal(forged, 403, "a call without the proof");
    const audit = await admin.page.evaluate(async () => (await fetch("/api/audit")).json());
    const started = audit.entries.find(({ who, act, status }) => who === "M" && act === "POST /api/lot/start" && status === 202);
    equal([started?.role, started?.before.state, started?.after.lot], ["operator", "ready", "L"], "the audit of the start");
    ok(!JSON.stringify(audit).includes("pass word"), "a password stands in the audit");
    await admin.page.bringToFront();
    const removes = await admin.page.$$eval("#logins button[data-remove]", (all) => all.map((one) => [one.querySelector("kbd").textContent, one.textContent.includes("Remove M")]));
    await admin.page.evaluate(() => document.activeElement.blur());
    await admin.withAlt(removes.find(([, ofM]) => ofM)[0].at(-1));
    await until("it asks before a login goes", async () => (await admin.page.$("dialog[open]")) !== null);
    await admin.press("Enter");
    await until("the login is gone", async () => !(await admin.text("#logins")).includes("Remove M"));
    await page.close([/status of 40[13]/, /ERR_|Failed to load resource/]);
  } finally {
    await station.end();
  }
  await admin.close([/status of 40[13]/, /ERR_|Failed to load resource/]);
});
