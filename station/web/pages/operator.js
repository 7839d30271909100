// The operator's page: the station's state comes in, the drawing, the one sentence and the one thing
// to do come out.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { watch } from "/live.js";
import { t, lasting } from "/texts.js";
import { say, spoken } from "/sentences.js";
import { language } from "/settings.js";
import { aspectOf } from "/panel.js";
import { NestFigure } from "/nest.js";
import { arrange } from "/shapes.js";
import { countOf, legendOf, tapeOf } from "/tape.js";
import { Desk, partsOfFault, unreleased } from "/desk.js";
import { Bar } from "/bar.js";

const at = (id) => document.getElementById(id);
const desk = new Desk(at("desk")), bar = new Bar(at("bar"));
desk.onChoice = () => showSentence();
let state = null, arrived = 0, panel = null, live = true;
const figures = new Map(); // nest -> NestFigure

// What a nest shows: its own state, or the last unit while it waits for the next.
function shown(nest) {
  if (nest.mark !== "waiting") return nest;
  return state.lying.find((unit) => unit.nest === nest.nest) ?? nest;
}

function sinceArrival(nest) {
  if (nest.mark !== "running" || !live) return nest;
  return { ...nest, left_ms: Math.max(0, nest.left_ms - (performance.now() - arrived)) };
}

function sentence() {
  if (!live) return [t("lostMore")];
  // The nest's own sentence: that the guard stands open, say, before it may be loaded.
  if (desk.loads) {
    const own = state.nests.find((nest) => nest.nest === desk.nest)?.sentence;
    return spoken(own || `Load the next unit into nest ${desk.nest}.`);
  }
  if (state.state === "blocked" && state.sentence === state.last_fault) return spoken(partsOfFault(state.last_fault).act);
  // Units that a handler sorts need nobody once the lot has ended.
  if (desk.starts && /^Nest \d+: /.test(state.sentence)) return spoken("Start a lot.");
  if (!/^Wait, /.test(state.sentence)) return spoken(state.sentence);
  const left = Math.min(...state.nests.filter((nest) => nest.mark === "running" && !nest.waits_for).map((nest) => sinceArrival(nest).left_ms));
  return [left >= 1000 ? t("wait", { time: lasting(left) }) : t("waitMoment")];
}
const textOf = (nodes) => nodes.map((node) => node.textContent ?? node).join("");

// The unit that the sentence is about.
function subject() {
  const nest = desk.loads ? 0 : Number(/^Nest (\d+): /.exec(state.sentence)?.[1]);
  const of = (unit) => unit.nest === nest;
  return state.lying.find((unit) => of(unit) && unit.to_confirm) ?? state.nests.find(of);
}

function showSentence() {
  const nodes = sentence(), text = textOf(nodes), heading = at("sentence");
  if (heading.textContent !== text) heading.replaceChildren(...nodes);
  heading.classList.toggle("long", text.length > 64 && text.length <= 130);
  heading.classList.toggle("longer", text.length > 130);
  heading.classList.toggle("stop", !live || state.state === "blocked" || subject()?.mark === "fail");
  at("caution").textContent = !live ? t("lost") : t(state.state === "running" ? "cautionShort" : "caution");
}

// Before the first run the status has no nests yet: the sheet's are drawn, empty.
const nestsShown = () => panel.nests.map(({ nest }) => state.nests.find((one) => one.nest === nest) ??
  { nest, mark: "waiting", serial: "", sentence: "", reason: "", keys: [], step: "", key: "", of: 0 });

// Pixels above and below a drawing (heading, words), or above it alone where the words stand beside.
const around = { below: 112, beside: 48 };

function showNests() {
  const root = at("nests"), nests = nestsShown();
  const room = { width: root.clientWidth, height: root.clientHeight };
  const { columns, width, beside } = arrange(nests.length, aspectOf(panel), room, around);
  const wide = Math.max(200, Math.floor(width));
  root.classList.toggle("beside", beside);
  root.classList.toggle("narrow", !beside && wide < 430);
  root.style.setProperty("--wide", `${wide}px`);
  root.style.setProperty("--lines", beside ? Math.max(2, Math.floor(wide / aspectOf(panel) / 22.5)) : nests.length > columns ? 2 : 4);
  root.style.gridTemplateColumns = `repeat(${columns}, minmax(0, ${beside ? "1fr" : `${wide}px`}))`;
  for (const nest of nests) {
    let figure = figures.get(nest.nest);
    if (!figure) {
      figures.set(nest.nest, figure = new NestFigure());
      root.append(figure.element);
    }
    figure.show(panel, sinceArrival(shown(nest)), wide, beside);
  }
}

let lotShown = "";
function showLot() {
  const root = at("lot");
  const now = JSON.stringify([state.tape, state.marks, state.count, state.quarantined, state.last_not_passed, root.clientWidth, language()]);
  if (now === lotShown) return;
  lotShown = now;
  if (!state.lot) return root.replaceChildren();
  const tall = innerHeight >= 900;
  const last = tall && state.last_not_passed ? h("p", { id: "last" }, t("last", { unit: say(state.last_not_passed) })) : "";
  root.replaceChildren(tapeOf(state, root.clientWidth), h("div", { id: "sum" }, h("p", { id: "count" }, countOf(state)),
    h("p", { id: "legend" }, ...legendOf(state))), last);
}

function stateWord() {
  if (!live) return t("notKnown");
  return t(unreleased(state) ? "notReleased" : state.state);
}

let titleShown = "";
function showTitle() {
  const marks = [state.draft && t("draft"), state.measure_only && t("measureOnly"), state.again && t("passedToo"), state.stopping && t("stopping")];
  const entries = [
    ["lot", state.lot || "–"], ["station", state.station],
    ["recipe", `${state.recipe}, ${t("revision", { revision: state.recipe_revision })}`],
    ["fixture", panel.fixture], ["state", [stateWord(), ...marks].filter(Boolean).join(", ")],
  ];
  if (panel.has_stack_light)
    entries.splice(-1, 0, ["stackLight", live ? state.lamps.map((lamp) => t(`lamp ${lamp}`)).join(", ") || t("lamp none") : t("notKnown")]);
  document.title = `${state.station}: ${textOf(sentence())}`;
  const now = JSON.stringify([entries, language()]);
  if (now === titleShown) return;
  titleShown = now;
  at("title-block").replaceChildren(...entries.map(([name, value]) =>
    h("div", { class: name }, h("dt", {}, t(name)), h("dd", { title: value },
      name === "recipe" ? h("a", { href: "/plan", title: t("plan") }, value) : value))));
}

function showAll() {
  if (!state || !panel) return;
  document.documentElement.lang = language();
  document.body.classList.toggle("lost", !live);
  desk.show(state, panel);
  showSentence();
  bar.show(state, panel, () => showAll());
  showTitle();
  showLot();
  showNests();
}

let frame = 0;
function soon() {
  if (!frame) frame = requestAnimationFrame(() => { frame = 0; showAll(); });
}

async function take(news) {
  state = news;
  arrived = performance.now();
  if (panel?.plan_hash !== news.plan_hash) {
    try {
      panel = await ask("/api/panel");
      figures.clear();
      at("nests").replaceChildren();
    } catch { /* the next state asks again */ }
  }
  soon();
}

watch(take, (now) => { live = now; soon(); });
addEventListener("resize", soon);
// The count-down goes on between two states.
setInterval(() => { if (state?.nests.some((nest) => nest.mark === "running")) soon(); }, 250);
