// The engineer's page for work by hand on the fixture, while no lot runs: reference steps are
// connected, the finger is moved by steps, and what wears is seen.

import { h } from "/elements.js";
import { ask, tell } from "/calls.js";
import { footBar, sheet as dialog } from "/bar.js";
import { watch } from "/live.js";
import { t } from "/texts.js";
import { inWords, say, spoken } from "/sentences.js";
import { decimal, fixed, moment } from "/local.js";
import { who } from "/session.js";
import { keepPerson, language, person } from "/settings.js";
import { Lease } from "/hold.js";
import { keyOf, moves, steps } from "/moves.js";
import { planView } from "/plan_view.js";
import { sectionView } from "/section_view.js";
import { titleBlock } from "/title_block.js";
import { isOn, keyOfChannel, referencesOf, valueOf } from "/references.js";
import { wearOf } from "/wear.js";
import { askReplaced } from "/replaced.js";

const at = (id) => document.getElementById(id);
const mayWork = () => !who().needed || ["engineer", "administrator"].includes(who().role);
let panel = null, sheet = null, wear = null, hold = null, state = null, live = true;
let lastPlace = null, step = 1, chosen = null, leftUntil = 0, drawn = "";

const lease = new Lease((trouble) => { tellTrouble(trouble); refresh(); });
const ready = () => lease.mine && hold?.state === "held";
const tellTrouble = (trouble) => { at("trouble").replaceChildren(...(trouble ? spoken(plain(trouble.message)) : [])); };

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
const jog = ([x, y, z]) => finger({ act: "step", x_mm: x * step, y_mm: y * step, z_mm: z * step });
const home = () => finger({ act: "home" }), lift = () => finger({ act: "lift" }), goOver = () => finger({ act: "over", ...chosen });
const openAll = () => connect({ reference: "" });

// A choice of the page itself: nothing moves.
function choose(change) {
  change();
  drawn = "";
  show();
}
const chooseNest = (nest) => choose(() => { chosen = { ...chosen, nest }; });
const chooseStep = (mm) => choose(() => { step = mm; });
const nextIn = (list, now) => list[(list.indexOf(now) + 1) % list.length];

// Where a port lies on this computer helps nobody at the fixture.
const plain = (text) => (text ?? "").replace(/ on (?:\/[^\s/),;:]+)+/g, "");
const guardTrouble = () => (hold.held || state?.state === "running" ? "" : plain(state?.start?.obstacles.find((one) => one.at === "guard")?.sentence).replace("; then a lot can start", ""));

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
  const key = JSON.stringify([now, hold.who, mayWork(), guardTrouble(), language()]);
  if (at("desk").dataset.shown === key) return;
  at("desk").dataset.shown = key;
  const giveBack = (words) => h("button", { type: "button", class: "stop", "aria-keyshortcuts": "Escape", onclick: stop }, keyOf("Escape"), words);
  const parts = {
    mine: () => [holdButton(), giveBack(t("giveBack"))], other: () => [giveBack(t("stopOther", { who: hold.who || "?" }))], lot: () => [],
    free: () => (mayWork() ? [h("button", { type: "button", class: "act", "aria-keyshortcuts": "F2", disabled: guardTrouble() !== "", onclick: askTake }, keyOf("F2"), t("take"))] : [h("p", {}, t("notYourHand"))]),
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
  return guardTrouble() ? inWords(guardTrouble()) : t(mayWork() ? "hand next" : "hand free");
}

// The drawing of the finger over the panel. Its moves stand all the time, so that what comes is seen
// before it can be done.
function showDrawing(place) {
  const open = ready() && !sheet.no_motion, homed = open && hold.finger !== null;
  const act = { able: homed, step, by: jog, over: goOver }, room = (id) => ({ width: at(id).clientWidth, height: at(id).clientHeight });
  at("views").classList.toggle("flat", !sheet.finger);
  at("section-view").hidden = !sheet.finger;
  at("plan-view").replaceChildren(...planView(panel, sheet, chosen, place, lastPlace, act, room("plan-view")));
  if (sheet.finger) at("section-view").replaceChildren(...sectionView(panel, sheet, place, lastPlace, act, room("section-view")));
  at("block").replaceChildren(...titleBlock({ panel, sheet, chosen, step, place, last: lastPlace, held: hold.held, open, homed },
    { nest: chooseNest, key: (key) => choose(() => { chosen = { ...chosen, key }; }), step: chooseStep, home, lift }));
}

function connectedWords() {
  const step = sheet.equipment.steps.find((one) => isOn(one, hold.connected));
  if (!hold.connected || !step) return t("nothingConnected");
  const key = keyOfChannel(panel, step.channel);
  return t(key ? "connectedAtKey" : "connected", { ...hold.connected, key, value: valueOf(step).join(" \u00b1 ") });
}

function showReferences() {
  const { equipment } = sheet, due = equipment.expired ? t("expired") : t("notExpired");
  at("references-note").textContent = t("referencesNote", { certificate: equipment.certificate, on: moment(equipment.characterised_on), khz: decimal(equipment.frequency_khz),
    due: `${moment(equipment.recalibration_due) || "\u2013"} (${due})` });
  at("references-note").classList.toggle("expired", equipment.expired !== "");
  at("connected").replaceChildren(connectedWords(), " ",
    h("button", { type: "button", "aria-keyshortcuts": "Delete", disabled: !(ready() && hold.connected), onclick: openAll }, keyOf("Delete"), t("openAll")));
  at("references-name").textContent = `${t("references")}: ${t("nest", { n: chosen.nest })}`;
  at("references").replaceChildren(referencesOf(panel, sheet, chosen.nest, hold.connected, ready(),
    ({ nest, channel, reference }) => connect({ nest, channel, reference }), at("references").clientWidth));
}

// Redrawing must not take the focus away from who works with the keyboard.
function keepingFocus(work) {
  const had = document.activeElement, coil = had?.dataset?.coil, key = had?.getAttribute?.("aria-keyshortcuts"), name = had?.name, words = had?.textContent;
  work();
  if (document.contains(had)) return;
  const again = coil ? document.querySelector(`[data-coil="${coil}"]`) : key ? document.querySelector(`[aria-keyshortcuts="${key}"]`)
    : name ? document.getElementsByName(name)[0] : [...document.querySelectorAll("main button")].find((one) => one.textContent === words);
  again?.focus();
}

function show() {
  if (!hold || !sheet || !panel) return;
  at("sentence").textContent = sentence();
  // What the act before came to says nothing of the one under way.
  at("told").replaceChildren(...spoken(plain(hold.state === "busy" ? "" : hold.sentence).replace(guardTrouble(), "").trim()));
  keepingFocus(() => {
    showDesk();
    const now = JSON.stringify([hold.held, hold.state, hold.connected, hold.finger, lease.mine, chosen, step, language(), innerWidth, innerHeight]);
    if (now === drawn) return;
    drawn = now;
    // Where it stood once is no place to plan with: it is drawn as such.
    const place = hold.held ? hold.finger : null;
    if (["beginning", "held", "busy"].includes(hold.state)) lastPlace = place;
    showDrawing(place);
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
  const move = moves.find(([key]) => key === event.key), homed = () => ready() && hold.finger;
  const moving = { Home: () => ready() && home(), End: () => homed() && lift() };
  const others = { F2: () => at("desk").querySelector("[aria-keyshortcuts=F2]")?.click(), F3: () => chooseStep(nextIn(steps, step)), F4: () => homed() && goOver(), F6: () => at("replaced")?.click(),
    F7: () => sheet && chooseNest(nextIn(sheet.nests.map((one) => one.nest), chosen.nest)), Escape: stop, Delete: () => ready() && hold.connected && openAll(), ...(lease.mine ? moving : {}) };
  if (event.key === " " && event.target === document.body) { event.preventDefault(); at("hold")?.focus(); return lease.press(); }
  if (!move && !others[event.key]) return;
  if (move && !lease.mine) return; // arrows scroll the page then
  event.preventDefault();
  if (event.repeat) return; // one press, one step
  if (!move) others[event.key]();
  else if (homed()) jog(move[1]);
});

function showNames() {
  document.documentElement.lang = language();
  for (const [id, text] of [["back", "back"], ["to-plan", "planShort"], ["caution", "caution"], ["travel-name", "fingerByHand"], ["contacts-way", "contactsWay"],
    ["wear-name", "wear"], ["wear-note", "wearNote"]]) at(id).textContent = t(text);
  document.title = t("byHand");
}

async function take(news) {
  state = news;
  if (!sheet) {
    [panel, sheet] = await Promise.all([ask("/api/panel"), ask("/api/fixture")]);
    chosen = { nest: sheet.nests[0].nest, key: panel.keys[0].name };
    await showWear();
  }
  await refresh();
}

// Work in hand goes on in the other language: the page stays.
footBar(() => { showNames(); if (wear) drawWear(); drawn = ""; show(); });
showNames();
setInterval(showLeft, 100);
setInterval(() => { if (lease.mine) refresh(); }, 500);
addEventListener("resize", show);
at("plan-view").addEventListener("click", (event) => {
  const { nest, key } = event.target.dataset ?? {};
  if (key) choose(() => { chosen = { nest: Number(nest), key }; });
});
watch(take, (now) => { live = now; show(); });
