// What every quality sheet has: the index of sheets, the title block whose fields narrow the question
// and live in the address, and the controls at the edge.

import { h, keyCap, numberKey, numberPressed } from "/elements.js";
import { ask, Silent } from "/calls.js";
import { toMinute } from "/local.js";
import { inWords, spoken } from "/sentences.js";
import { t } from "/texts.js";
import { redraw } from "/figures.js";
import { applyTheme, language, nextLanguage, nextTheme, theme } from "/settings.js";
import { addressOf, choicesOf, flags, moments, numbers, ofCheck, rare, sheets, sheetNamed } from "/sheets.js";

const at = (id) => document.getElementById(id);
export const sheet = sheets.find((one) => one.path === location.pathname) ?? sheets[0];
document.body.dataset.sheet = sheet.name;
export const filters = () => new URLSearchParams(location.search);
export const toSheet = (name, more) => addressOf(sheetNamed(name), filters(), more);
export const toUnit = (serial) => `/unit?serial=${encodeURIComponent(serial)}`;

let choices = null, drawn = null, everything = false, answer = async () => {};
let heard = true, failed = false, turn = 0;

function showIndex() {
  const entry = (one) => h("li", {}, h("a", { href: addressOf(one, filters()), "aria-current": one === sheet ? "page" : null }, t(`sheet ${one.name}`)));
  const place = h("li", { class: "place" }, t("sheetOf", { n: sheets.indexOf(sheet) + 1, of: sheets.length }));
  at("index").setAttribute("aria-label", t("sheetIndex"));
  const away = (href, name) => h("li", {}, h("a", { href }, name));
  at("index").replaceChildren(h("ul", {}, place, ...sheets.map(entry), away("/", t("operatorShort")), away("/plan", t("planShort"))));
}

// What only an answer knows that a field can be: [value, words] each. One alone is no choice.
const offered = {};
export const offer = (field, options) => { offered[field] = options; };
const ofAnswer = ["episode"];
const isChoice = (field) => !ofAnswer.includes(field) || offered[field]?.length > 1;

// The names that the records hold for a field, or null where it is typed.
function namesFor(field) {
  if (choicesOf[field]) return choicesOf[field];
  if (!choices) return null;
  const wanted = sheet.name === "gauge";
  switch (field) {
    case "lot": return choices.lots.filter((lot) => lot.measure_only === wanted).map((lot) => lot.name);
    case "station": return choices.stations;
    case "product": return choices.products;
    case "recipe": return choices.recipes;
    case "check": return choices.checks;
    case "key": return choices.keys;
    case "step": return choices.steps;
    case "nest": return choices.nests.map(String);
    default: return null;
  }
}

const widths = { since: 10, until: 10, revision: 5, fixture: 14, relay: 4, risk: 5, baseline: 6 }; // characters

function controlFor(field, value) {
  if (flags.includes(field)) return h("select", { name: field }, h("option", { value: "" }, t(`no ${field}`)), h("option", { value: "yes", selected: value === "yes" }, t(`yes ${field}`)));
  if (offered[field]) return h("select", { name: field }, ...offered[field].map(([name, words]) => h("option", { value: name, selected: name === value }, words)));
  const names = namesFor(field);
  if (!names) {
    const [hint, tip] = moments.includes(field) ? [t("anyTime"), "2026-03-31"] : [null, null];
    return h("input", { name: field, value, type: "text", size: widths[field] ?? 8, inputmode: numbers.includes(field) ? "decimal" : null, placeholder: hint, title: tip, maxlength: 64, autocomplete: "off" });
  }
  const known = value && !names.includes(value) ? [value, ...names] : names;
  const usual = choicesOf[field]?.[0];
  const options = known.map((name) => h("option", { value: name === usual ? "" : name, selected: name === value }, choicesOf[field] ? t(`${field} ${name}`) : field === "check" ? inWords(name) : name));
  return h("select", { name: field }, ...(usual ? [] : [h("option", { value: "" }, t(sheet.name === "gauge" && field === "lot" ? "noStudy" : "all"))]), ...options);
}

// Fields that do not fit in one row wait behind "More fields", the last ones first; set ones stay.
function foldToOneRow(fields) {
  if (everything) return true;
  const row = at("block").querySelector("fieldset"), free = fields.filter((one) => one.className !== "set");
  let folded = false;
  while (free.length > 1 && fields.some((one) => one.isConnected && one.offsetTop > row.firstElementChild.offsetTop)) {
    free.pop().remove();
    folded = true;
  }
  return folded;
}

const stamp = () => [h("span", {}, `${t("drawn")} ${drawn ? toMinute(drawn.toISOString()) : "–"}`), h("span", {}, h("kbd", { "aria-hidden": "true" }, "Tab"), t("tabKey"))];

function showBlock() {
  const now = filters(), may = (field) => !ofCheck.includes(field) || now.get("check");
  const shown = sheet.fields.filter((field) => may(field) && isChoice(field) && (everything || !rare.includes(field) || now.get(field)));
  const hides = sheet.fields.some((field) => rare.includes(field) && !now.get(field));
  const fields = shown.map((field) =>
    h("label", { class: now.get(field) ? "set" : null }, h("span", {}, t(`field ${field}`)), controlFor(field, now.get(field) ?? "")));
  const more = h("button", { type: "button", class: "more", "aria-keyshortcuts": "Shift+F2", "aria-expanded": String(everything), onclick: () => { everything = !everything; showBlock(); } }, h("kbd", { "aria-hidden": "true" }, "Shift+F2"), t(everything ? "fewer" : "more"));
  const reset = [...now.keys()].length ? h("a", { class: "reset", href: sheet.path }, t("reset")) : null;
  const ask = h("button", { type: "submit", "data-act": true, "aria-keyshortcuts": "Enter" }, h("kbd", { "aria-hidden": "true" }, "Enter"), t("askAgain"));
  at("block").replaceChildren(h("fieldset", { "data-act": true, "aria-label": t("narrow") }, ...fields),
    h("div", { class: "enter" }, reset, ask, more));
  more.hidden = !foldToOneRow(fields) && !hides;
  at("bar").querySelector(".stamp")?.replaceChildren(...stamp());
  showLine();
}

function go(address) {
  history.pushState(null, "", address);
  return renew();
}

function send(event) {
  event?.preventDefault();
  if (!heard) return null;
  const typed = Object.fromEntries([...new FormData(at("block"))].map(([name, value]) => [name, value.trim()]));
  // Episodes are those of one station and fixture.
  if (["station", "fixture"].some((field) => (typed[field] ?? "") !== (filters().get(field) ?? ""))) delete typed.episode;
  return go(addressOf(sheet, new URLSearchParams({ check: filters().get("check") ?? "" }), typed));
}

const controls = [
  ["F2", () => t("narrow"), () => at("block").querySelector("select, input").focus()],
  ["F3", () => t("nextSheet"), () => location.assign(addressOf(sheets[(sheets.indexOf(sheet) + 1) % sheets.length], filters()))],
  ["F9", () => t("language"), () => { nextLanguage(); renew(); }],
  ["F10", () => t("theme", { theme: t(theme()) }), () => { nextTheme(); showControls(); showLine(); redraw(); }],
];
let acts = () => []; // of this sheet: [key, text, what happens]
export function showControls() {
  const [narrow, ...others] = controls, button = ([key, text, work], act) =>
    h("button", { type: "button", "aria-keyshortcuts": key, "data-act": act || key === "F3", onclick: work }, h("kbd", { "aria-hidden": "true" }, key), text());
  at("bar").replaceChildren(button(narrow), ...acts().map((one) => button(one, true)), ...others.map((one) => button(one)), h("p", { class: "stamp" }, ...stamp()));
}

export function say(sentence, wrong = "") {
  at("sentence").textContent = sentence;
  at("trouble").textContent = wrong;
}

// The first nine acts about single units or lots have their number as a key.
function numberActs() {
  for (const [i, act] of [...at("figures").querySelectorAll(".unit button")].slice(0, 9).entries()) {
    if (act.querySelector("kbd")) continue;
    act.setAttribute("aria-keyshortcuts", numberKey(i + 1));
    act.prepend(keyCap(numberKey(i + 1)));
  }
}

// While the station is not heard nothing can be asked or decided, and the page says so.
export function showLine() {
  for (const place of document.querySelectorAll("[data-line]")) place.textContent = heard ? "" : t("lostActs");
  for (const act of document.querySelectorAll("[data-act]")) act.disabled = !heard;
}
export function line(live) {
  const back = live && !heard;
  heard = live;
  showLine();
  if (back && failed) renew();
}

// What was asked has no answer as it stands: a link may name what these records do not hold.
function refuse() {
  at("sentence").textContent = t("askOtherwise");
  at("sentences").replaceChildren();
  at("figures").replaceChildren(h("p", { class: "empty" }, h("a", { href: sheet.path }, t("reset"))));
}

// Asks for the choices once, then lets the sheet answer. An answer that a newer question has
// overtaken shows nothing.
export async function renew() {
  const mine = ++turn, newest = () => mine === turn;
  document.documentElement.lang = language();
  document.title = `${t("quality")}: ${t(`sheet ${sheet.name}`)}`;
  at("figures").setAttribute("aria-label", t(`sheet ${sheet.name}`));
  showIndex();
  showControls();
  const focus = document.activeElement?.name;
  showBlock();
  at("figures").setAttribute("aria-busy", "true");
  try {
    at("trouble").textContent = "";
    const of = sheet.name === "gauge" ? "?measure-only=yes" : "";
    choices ??= await ask(`/api/quality/choices${of}`);
    await answer(newest);
    if (!newest()) return;
    drawn = new Date();
    failed = false;
  } catch (trouble) {
    if (!newest()) return;
    failed = true;
    at("trouble").replaceChildren(...spoken(trouble.message));
    if (!(trouble instanceof Silent)) refuse();
  }
  numberActs();
  at("figures").removeAttribute("aria-busy");
  showBlock();
  if (focus) at("block").elements[focus]?.focus();
}

export function start(answering, ownActs) {
  answer = answering;
  acts = ownActs;
  applyTheme();
  at("block").addEventListener("submit", send);
  at("block").addEventListener("change", (event) => { if (event.target.tagName === "SELECT") send(); });
  addEventListener("popstate", renew);
  let width = innerWidth;
  addEventListener("resize", () => { if (innerWidth !== width) { width = innerWidth; showBlock(); redraw(); } });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
  document.addEventListener("keydown", (event) => {
    if (document.querySelector("dialog[open]")) return;
    const number = numberPressed(event);
    const numbered = number && at("figures").querySelector(`.unit button[aria-keyshortcuts="${number}"]`);
    if (numbered) {
      event.preventDefault();
      return numbered.click();
    }
    if (event.key === "F2" && event.shiftKey) {
      event.preventDefault();
      return at("block").querySelector(".more").click();
    }
    if (![...acts(), ...controls].some(([key]) => key === event.key)) return;
    event.preventDefault();
    at("bar").querySelector(`[aria-keyshortcuts="${event.key}"]`).click();
  });
  return renew();
}
