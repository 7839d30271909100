// The engineer's page: by what right the plan runs, what it does with its time, how far every key of
// every nest is from its limits now, and what was released.

import { h, numberPressed } from "/elements.js";
import { ask } from "/calls.js";
import { watch } from "/live.js";
import { t } from "/texts.js";
import { fixed } from "/local.js";
import { inWords, spoken } from "/sentences.js";
import { language } from "/settings.js";
import { footBar } from "/bar.js";
import { NestFigure } from "/nest.js";
import { scoreOf } from "/score.js";
import { unreleased } from "/desk.js";
import { OneStep } from "/one_step.js";
import { askPermit, askRelease, permitsPart, recipePart, releasesPart } from "/recipe.js";

const at = (id) => document.getElementById(id);
const figures = new Map();
const alone = new OneStep(at("alone"));
let panel = null, plan = null, recipe = null;

const entry = (name, ...value) => h("div", {}, h("dt", {}, name), h("dd", {}, ...value));
const row = (...cells) => h("tr", {}, ...cells);
const cell = (text, figure) => h("td", { class: figure ? "figure" : null }, text);
const table = (heads, rows) =>
  h("div", { class: "wide", tabindex: "0" }, h("table", {}, h("thead", {}, row(...heads.map((head) => h("th", { scope: "col" }, head)))), h("tbody", {}, ...rows)));

function showStanding(state) {
  const start = state.start;
  const right = state.draft ? t("draft") : start ? spoken(...(start.permission ? [start.permission] : start.obstacles.map((one) => one.sentence))) : t("running");
  at("standing").replaceChildren(
    entry(t("recipe"), `${panel.recipe}, ${t("revision", { revision: panel.recipe_revision })}`),
    entry(t("fixture"), `${panel.fixture}, ${t("revision", { revision: panel.fixture_revision })}`),
    entry(t("planHash"), panel.plan_hash.slice(0, 12)), entry(t("right"), ...[right].flat()),
    entry(t("state"), t(unreleased(state) ? "notReleased" : state.state)), entry(t("lot"), state.lot || "–"));
}

function showScore() {
  at("score-note").textContent = t("scoreNote", {
    time: fixed(plan.expected_ms / 1000, 1), floor: fixed(plan.floor_ms / 1000, 1),
    nests: plan.nests, units: plan.units_per_hour.toFixed(0),
  });
  at("score").replaceChildren(scoreOf(plan, at("score").clientWidth));
}

const unitOf = (state, nest) =>
  nest.mark === "waiting" ? state.lying.find((one) => one.nest === nest.nest) ?? nest : nest;

let marginsShown = "";
function showMargins(state) {
  const units = state.nests.map((nest) => unitOf(state, nest));
  // All are placed before one is measured: each takes room from the others.
  for (const unit of units.filter((one) => !figures.has(one.nest))) {
    figures.set(unit.nest, new NestFigure());
    at("nests").append(figures.get(unit.nest).element);
  }
  for (const unit of units) figures.get(unit.nest).show(panel, unit, figures.get(unit.nest).element.clientWidth || 420);
  const done = units.filter((unit) => unit.keys.length);
  const now = JSON.stringify([done.map((unit) => [unit.serial, unit.keys]), language()]);
  if (now === marginsShown) return;
  marginsShown = now;
  const rowsOf = (unit) => unit.keys.map((key) => row(
    cell(key.key), cell(key.margin === null ? "–" : fixed(key.margin, 2), true), cell(t(`mark ${key.verdict}`)), cell(inWords(key.sentence))));
  const tableOf = (unit) => h("div", {}, h("h3", {}, `${t("nest", { n: unit.nest })} `, h("a", { href: `/unit?serial=${encodeURIComponent(unit.serial)}` }, unit.serial)),
    table([t("keyHead"), t("margin"), t("verdict"), t("worst")], rowsOf(unit)));
  at("margins").replaceChildren(...(done.length ? [...done.map(tableOf), h("p", { class: "small" }, t("notation"))] : [h("p", {}, t("noUnitYet"))]));
}

async function showRecipe(done = "") {
  recipe = await ask("/api/recipe");
  at("done").textContent = done;
  at("recipe").replaceChildren(...recipePart(recipe, showRecipe));
  at("releases").replaceChildren(releasesPart(recipe, showRecipe));
  at("permits").replaceChildren(permitsPart(recipe));
}

function showNames() {
  document.documentElement.lang = language();
  at("back").textContent = t("back");
  at("to-quality").textContent = t("quality");
  at("to-fixture").textContent = t("byHand");
  at("heading").textContent = t("plan");
  at("score-name").textContent = t("score");
  at("margins-name").textContent = t("margins");
  for (const [id, text] of [["releases-name", "releases"], ["alone-name", "alone"], ["recipe-name", "ownRecipe"], ["permits-name", "permits"]]) at(id).textContent = t(text);
  document.title = t("plan");
}

async function take(state) {
  if (panel?.plan_hash !== state.plan_hash) {
    [panel, plan] = await Promise.all([ask("/api/panel"), ask("/api/plan")]);
    figures.clear();
    at("nests").replaceChildren();
    showScore();
    await showRecipe(at("done").textContent);
    if (!at("alone").children.length) alone.offer(recipe, panel);
  }
  showStanding(state);
  showMargins(state);
  alone.follow(state);
}

footBar();
showNames();
document.addEventListener("keydown", (event) => {
  const acts = { F2: () => alone.ask(), F6: () => recipe?.no_release === "" && askRelease(recipe, showRecipe), F7: () => recipe?.no_permit === "" && askPermit(showRecipe) };
  const number = numberPressed(event);
  if (number && !document.querySelector("dialog[open]")) {
    event.preventDefault();
    return at("releases").querySelector(`[aria-keyshortcuts="${number}"]`)?.click();
  }
  if (!acts[event.key] || event.repeat || document.querySelector("dialog[open]")) return;
  event.preventDefault();
  acts[event.key]();
});
addEventListener("resize", () => plan && showScore());
watch(take, (live) => { at("heading").textContent = live ? t("plan") : t("lost"); });
