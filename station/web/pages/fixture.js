// The engineer's page for work by hand on the fixture, while no lot runs: reference steps are
// connected, the finger is moved by steps, and what wears is seen.

import { h } from "/elements.js";
import { ask, tell } from "/calls.js";
import { footBar, sheet as dialog } from "/bar.js";
import { watch } from "/live.js";
import { t } from "/texts.js";
import { say, spoken } from "/sentences.js";
import { decimal, fixed, moment } from "/local.js";
import { who } from "/session.js";
import { keepPerson, language, person } from "/settings.js";
import { Lease } from "/hold.js";
import { lastPlaceText, placeText, travelOf } from "/travel.js";
import { referencesOf } from "/references.js";
import { wearOf } from "/wear.js";
import { askReplaced } from "/replaced.js";

const at = (id) => document.getElementById(id);
const keyOf = (name) => h("kbd", { "aria-hidden": "true" }, name);
const mayWork = () => !who().needed || ["engineer", "administrator"].includes(who().role);
const steps = [0.1, 1, 5];
let panel = null, sheet = null, wear = null, hold = null, state = null, live = true;
let lastPlace = null, step = 1, nest = 1, chosen = null, leftUntil = 0, drawn = "";

const lease = new Lease((trouble) => { tellTrouble(trouble); refresh(); });
const ready = () => lease.mine && hold?.state === "held";
const tellTrouble = (trouble) => { at("trouble").replaceChildren(...(trouble ? spoken(trouble.message) : [])); };

async function attempt(work) {
  tellTrouble(null);
  try {
    await work();
  } catch (trouble) {
    tellTrouble(trouble);
  }
  await refresh();
}

const finger = (body) => attempt(() => lease.act("/api/fixture/finger", body));
const connect = (place) => attempt(() => lease.act("/api/fixture/connect", place));
const jog = (x, y, z) => finger({ act: "step", x_mm: x * step, y_mm: y * step, z_mm: z * step });

// What a key does: [key, name on the cap, what it says, what happens].
const moves = [
  ["ArrowLeft", "\u2190", "jog left", () => jog(-1, 0, 0)], ["ArrowRight", "\u2192", "jog right", () => jog(1, 0, 0)],
  ["ArrowUp", "\u2191", "jog back", () => jog(0, 1, 0)], ["ArrowDown", "\u2193", "jog front", () => jog(0, -1, 0)],
  ["PageUp", "PgUp", "jog up", () => jog(0, 0, 1)], ["PageDown", "PgDn", "jog down", () => jog(0, 0, -1)],
  ["Home", "Home", "homeFinger", () => finger({ act: "home" })], ["End", "End", "liftFinger", () => finger({ act: "lift" })],
];

function askTake() {
  const named = who().needed;
  const read = h("label", { class: "tick-box" }, h("input", { type: "checkbox", name: "read" }), t("handRead"));
  const name = named ? null : h("label", {}, t("operator"), h("input", { type: "text", name: "operator", value: person(), maxlength: 64 }));
  const cautions = [h("p", {}, t("handCaution")), h("p", {}, t("handLease", { n: hold.lease_ms / 1000 }))];
  const asked = dialog(t("takeWho"), t("caution"), [...cautions, read, name], t("take"), async (typed) => {
    if (!typed.read) throw new Error(t("handReadFirst"));
    if (!named && !typed.operator.trim()) throw new Error(t("noName"));
    if (!named) keepPerson(typed.operator.trim());
    await lease.take(named ? undefined : typed.operator.trim());
    tellTrouble(null);
    await refresh();
  });
  asked.addEventListener("close", () => at("hold")?.focus());
}

function holdButton() {
  const button = h("button", { type: "button", id: "hold", "aria-keyshortcuts": "Space" }, keyOf("Space"), t("holdOn"), h("span", { id: "left", "aria-hidden": "true" }));
  button.addEventListener("keydown", (event) => { if (event.key === " ") { event.preventDefault(); lease.press(); } });
  button.addEventListener("keyup", (event) => { if (event.key === " ") { event.preventDefault(); lease.release(); } });
  button.addEventListener("pointerdown", () => lease.press());
  for (const end of ["pointerup", "pointercancel", "pointerleave", "blur"]) button.addEventListener(end, () => lease.release());
  button.addEventListener("click", () => lease.renew());
  return button;
}

function showDesk() {
  const now = lease.mine ? "mine" : hold.held ? "other" : state?.state === "running" ? "lot" : "free";
  const key = JSON.stringify([now, hold.who, mayWork(), language()]);
  if (at("desk").dataset.shown === key) return;
  at("desk").dataset.shown = key;
  const giveBack = (words) => h("button", { type: "button", class: "stop", "aria-keyshortcuts": "Escape", onclick: stop }, keyOf("Esc"), words);
  const parts = {
    mine: () => [holdButton(), giveBack(t("giveBack"))], other: () => [giveBack(t("stopOther", { who: hold.who || "?" }))], lot: () => [],
    free: () => (mayWork() ? [h("button", { type: "button", class: "act", "aria-keyshortcuts": "F2", onclick: askTake }, keyOf("F2"), t("take"))] : [h("p", {}, t("notYourHand"))]),
  };
  at("desk").replaceChildren(...parts[now]());
}

// What wears, and the way to say that it was replaced.
async function showWear(told = "") {
  wear = await ask("/api/fixture/wear");
  drawWear(told);
}
function drawWear(told = "") {
  const act = mayWork() ? h("button", { type: "button", id: "replaced", "aria-keyshortcuts": "F6", disabled: hold?.held || state?.state === "running", onclick: askWhatWasReplaced }, keyOf("F6"), t("replacedShort")) : "";
  at("wear").replaceChildren(h("p", { role: "status" }, ...spoken(told)), wearOf(wear), act);
}
const askWhatWasReplaced = () => askReplaced(wear.contacts, showWear);

const stop = () => attempt(() => (lease.mine ? lease.giveBack() : tell("/api/fixture/stop")));

function sentence() {
  if (!live) return t("lost");
  if (hold.state === "ending") return t("hand ending");
  if (lease.mine && hold.state === "beginning") return t("hand beginning");
  if (lease.mine) return hold.doing ? t("hand busy", { doing: say(hold.doing) }) : t("hand mine");
  if (hold.held) return t("hand other", { who: hold.who });
  if (state?.state === "running") return t("hand lot");
  return mayWork() ? `${t("hand free")} ${t("hand next")}` : t("hand free");
}

// The controls of the finger. They stand all the time, so that what comes is seen before it can be done.
function showJog() {
  const open = ready() && !sheet.no_motion, homed = open && hold.finger !== null;
  const able = (name) => (name === "homeFinger" ? open : homed);
  const buttons = moves.map(([key, cap, words, act]) =>
    h("button", { type: "button", class: `to ${words.replace(" ", "-")}`, "aria-keyshortcuts": key, disabled: !able(words), onclick: act }, keyOf(cap), t(words)));
  // Each direction stands on its side of the drawing.
  const ways = buttons.filter((button, i) => moves[i][2].startsWith("jog ")), others = buttons.filter((button) => !ways.includes(button));
  at("travel").querySelector(".travel")?.append(...ways);
  const sizes = h("fieldset", {}, h("legend", {}, t("stepSize"), " ", keyOf("F3")), ...steps.map((mm) =>
    h("label", {}, h("input", { type: "radio", name: "step", value: mm, checked: mm === step, onchange: () => { step = mm; } }), t("stepMm", { n: decimal(mm) }))));
  const names = sheet.nests.flatMap((one) => panel.keys.map((key) => ({ nest: one.nest, key: key.name })));
  const which = h("label", { class: "which" }, t("overWhich"), h("select", { name: "over", onchange: (event) => { chosen = names[event.target.value]; drawn = ""; show(); } },
    ...names.map((one, i) => h("option", { value: i, selected: chosen?.nest === one.nest && chosen.key === one.key }, `${t("nest", { n: one.nest })}: ${one.key}`))));
  chosen ??= names[0];
  const over = h("button", { type: "button", "aria-keyshortcuts": "F4", disabled: !homed, onclick: goOver }, keyOf("F4"), t("overKey"));
  at("jog").replaceChildren(sheet.no_motion ? h("p", {}, ...spoken(sheet.no_motion)) : "", sizes,
    h("div", { class: "places" }, ...others), h("div", { class: "over" }, which, over));
}
const goOver = () => finger({ act: "over", ...chosen });

function showReferences() {
  const { equipment } = sheet, due = equipment.expired ? t("expired") : t("notExpired");
  at("references-note").textContent = t("referencesNote", { certificate: equipment.certificate, on: moment(equipment.characterised_on), khz: decimal(equipment.frequency_khz),
    due: `${moment(equipment.recalibration_due) || "\u2013"} (${due})` });
  at("references-note").classList.toggle("expired", equipment.expired !== "");
  at("connected").replaceChildren(hold.connected ? t("connected", hold.connected) : t("nothingConnected"), " ",
    h("button", { type: "button", "aria-keyshortcuts": "Delete", disabled: !(ready() && hold.connected), onclick: () => connect({ reference: "" }) }, keyOf("Del"), t("openAll")));
  const nests = h("div", { class: "nests", role: "group", "aria-label": t("nestHead") }, ...sheet.nests.map((one) =>
    h("button", { type: "button", "aria-pressed": String(one.nest === nest), onclick: () => { nest = one.nest; drawn = ""; show(); } }, t("nest", { n: one.nest }))));
  at("references").replaceChildren(nests, referencesOf(sheet, nest, hold.connected, ready(),
    ({ nest: of, channel, reference }) => connect({ nest: of, channel, reference })));
}

// Redrawing must not take the focus away from who works with the keyboard.
function keepingFocus(work) {
  const had = document.activeElement, coil = had?.dataset?.coil, key = had?.getAttribute?.("aria-keyshortcuts"), name = had?.name, value = had?.value, words = had?.textContent;
  work();
  if (document.contains(had)) return;
  const again = coil ? document.querySelector(`[data-coil="${coil}"]`) : key ? document.querySelector(`[aria-keyshortcuts="${key}"]`)
    : name ? [...document.getElementsByName(name)].find((one) => one.type !== "radio" || one.value === value) : [...document.querySelectorAll("main button")].find((one) => one.textContent === words);
  again?.focus();
}

function show() {
  if (!hold || !sheet || !panel) return;
  at("sentence").textContent = sentence();
  at("told").replaceChildren(...spoken(hold.sentence));
  keepingFocus(() => {
    showDesk();
    const now = JSON.stringify([hold.state, hold.connected, hold.finger, lease.mine, nest, chosen, step, language()]);
    if (now === drawn) return;
    drawn = now;
    // Where it stood once is no place to plan with: it is drawn as such.
    const place = hold.held ? hold.finger : null, told = hold.sentence.startsWith("The finger stands at");
    if (hold.held) lastPlace = place;
    at("place").textContent = hold.held && sheet.finger && !told ? placeText(place) : hold.held ? "" : lastPlaceText(lastPlace);
    if (sheet.finger) at("travel").replaceChildren(travelOf(panel, sheet, place, chosen, lastPlace));
    showJog();
    showReferences();
  });
  if (at("replaced")) at("replaced").disabled = hold.held || state?.state === "running";
}

// Its own clock only shows how long is left; the station's decides.
function showLeft() {
  const left = at("left");
  if (left) left.textContent = ` ${t("left", { n: fixed(Math.max(0, (leftUntil - performance.now()) / 1000), 1) })}`;
}

let asking = null;
async function refresh() {
  asking ??= ask("/api/fixture/hold").finally(() => { asking = null; });
  try {
    hold = await asking;
    leftUntil = performance.now() + hold.left_ms;
    if (lease.mine && !hold.held) lease.forget();
  } catch (trouble) {
    tellTrouble(trouble);
  }
  show();
}

document.addEventListener("keydown", (event) => {
  if (document.querySelector("dialog[open]") || ["INPUT", "SELECT"].includes(event.target.tagName)) {
    if (event.key !== "Escape" || document.querySelector("dialog[open]")) return;
  }
  const move = moves.find(([key]) => key === event.key);
  const others = { F2: () => !lease.mine && at("desk").querySelector("[aria-keyshortcuts=F2]")?.click(), F3: () => { step = steps[(steps.indexOf(step) + 1) % steps.length]; drawn = ""; show(); },
    F4: () => ready() && hold.finger && goOver(), F6: () => at("replaced")?.click(), Escape: stop, Delete: () => ready() && hold.connected && connect({ reference: "" }) };
  if (event.key === " " && event.target === document.body) { event.preventDefault(); at("hold")?.focus(); return lease.press(); }
  if (!move && !others[event.key]) return;
  if (move && !lease.mine) return; // arrows scroll the page then
  event.preventDefault();
  if (event.repeat) return; // one press, one step
  if (!move) others[event.key]();
  else if (ready()) move[3]();
});

function showNames() {
  document.documentElement.lang = language();
  for (const [id, text] of [["back", "back"], ["to-plan", "planShort"], ["caution", "caution"], ["travel-name", "fingerByHand"], ["references-name", "references"],
    ["wear-name", "wear"], ["wear-note", "wearNote"]]) at(id).textContent = t(text);
  document.title = t("byHand");
}

async function take(news) {
  state = news;
  if (!sheet) {
    [panel, sheet] = await Promise.all([ask("/api/panel"), ask("/api/fixture")]);
    nest = sheet.nests[0].nest;
    await showWear();
  }
  await refresh();
}

// Work in hand goes on in the other language: the page stays.
footBar(() => { showNames(); if (wear) drawWear(); drawn = ""; show(); });
showNames();
setInterval(showLeft, 100);
setInterval(() => { if (lease.mine) refresh(); }, 500);
at("travel").addEventListener("click", (event) => {
  const { nest: of, key } = event.target.dataset ?? {};
  if (!key) return;
  chosen = { nest: Number(of), key };
  drawn = "";
  show();
});
watch(take, (now) => { live = now; show(); });
