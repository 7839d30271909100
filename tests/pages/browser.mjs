// One headless browser; pages that keep what goes wrong in them.

import { createRequire } from "node:module";
import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import puppeteer from "puppeteer-core";
import { equal, ok, until } from "./cases.mjs";
import { build } from "./station.mjs";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const seen = join(build, "pages-seen");
mkdirSync(seen, { recursive: true });

// The container of a test has no user namespaces for the browser's own sandbox.
const browser = await puppeteer.launch({
  executablePath: "/usr/bin/chromium", headless: true, args: ["--no-sandbox", "--disable-gpu", "--lang=en"],
});
export const closeBrowser = () => browser.close();

export class Page {
  static async open(address, { width = 1280, height = 800, theme = "light", calm = true } = {}) {
    const self = new Page();
    self.context = await browser.createBrowserContext();
    self.page = await self.context.newPage();
    self.errors = [];
    self.page.on("console", (message) => { if (message.type() === "error") self.errors.push(message.text()); });
    self.page.on("pageerror", (error) => self.errors.push(String(error)));
    await self.page.setViewport({ width, height });
    await self.page.emulateMediaFeatures([
      { name: "prefers-color-scheme", value: theme },
      { name: "prefers-reduced-motion", value: calm ? "reduce" : "no-preference" },
    ]);
    await self.page.goto(address);
    return self;
  }
  sentence() { return this.text("#sentence"); }
  text(selector) { return this.page.$eval(selector, (element) => element.textContent); }
  marks() { return this.page.$$eval(".nest", (nests) => nests.map((nest) => nest.dataset.mark)); }
  kind() { return this.page.$eval("#desk", (desk) => desk.querySelector("form")?.dataset.kind ?? "none"); }
  focused() { return this.page.evaluate(() => document.activeElement.name ?? document.activeElement.tagName); }
  say(text, limit) { return until(`the sentence says ${text}`, async () => (await this.sentence()).includes(text), limit); }
  do(kind, limit) { return until(`to do: ${kind}`, async () => (await this.kind()) === kind, limit); }
  async withAlt(digit) {
    await this.page.keyboard.down("Alt");
    await this.page.keyboard.press(`Digit${digit}`);
    await this.page.keyboard.up("Alt");
  }
  press(key) { return this.page.keyboard.press(key); }
  // As a scanner does: characters fast, then Enter.
  async scan(text) {
    await this.page.keyboard.type(text);
    await this.press("Enter");
  }
  place(name) { return join(seen, `${name}.png`); }
  async shot(name) {
    await this.page.screenshot({ path: this.place(name) });
  }
  // axe-core, WCAG 2.2 A and AA.
  async accessible(where) {
    await this.page.evaluate(axe);
    const found = await this.page.evaluate(() => globalThis.axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }));
    const bad = found.violations.filter((one) => ["serious", "critical"].includes(one.impact))
      .map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")}`);
    equal(bad, [], `axe, ${where}`);
    ok(found.passes.length > 5, "axe looked at nothing");
  }
  async close(expected = []) {
    const errors = this.errors.filter((error) => !expected.some((pattern) => pattern.test(error)));
    await this.context.close();
    equal(errors, [], "errors in the browser's console");
  }
}
