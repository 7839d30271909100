// A gauge study step by step: what to measure next, what was measured, and the result.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { admitted } from "/session.js";
import { inWords } from "/quality_words.js";
import { chartFigure, show, tableFigure } from "/figures.js";
import { callOf } from "/sheets.js";
import { filters, say, sheet, start, toUnit } from "/question.js";

const at = (id) => document.getElementById(id);

// done, now, or to come.
function stepsOf(walk) {
  const enough = walk.units.length >= walk.units_wanted;
  const begun = walk.units.length > 0, states = [begun, enough, enough && walk.missing === 0, walk.whole];
  const now = states.findIndex((done) => !done);
  return ["choose", "first", "again", "read"].map((name, i) => {
    const state = i === 3 ? (walk.whole ? "now" : "later") : states[i] ? "done" : i === now ? "now" : "later";
    return h("li", { class: state }, h("b", {}, t(`step ${state}`)), " ",
      t(`gauge ${name}`, { units: walk.units_wanted, so: walk.units.length, nests: walk.nests.length || "–", times: walk.repetitions, missing: walk.missing }));
  });
}

async function answer() {
  const now = filters(), named = now.get("lot");
  const addresses = sheet.calls.map((call) => callOf(call, sheet, now));
  const figures = [];
  let walk = { units: [], nests: (await ask("/api/panel")).nests, units_wanted: 10, repetitions: 2, missing: 0, whole: false };
  if (named) {
    walk = await ask(addresses[0]);
    const steps = await ask(`${addresses[0]}&format=sheet`), result = await ask(`${addresses[1]}&format=sheet`);
    const links = { unit: (words) => toUnit(words) };
    figures.push(...steps.tables.map((table, i) => tableFigure(table, i + 1, addresses[0], links)));
    figures[0].element.id = "measured";
    figures.push(...result.charts.map((chart) => chartFigure(chart, addresses[1], links)),
      ...result.tables.map((table, i) => tableFigure(table, i + 1, addresses[1])));
    at("sentences").replaceChildren(...result.sentences.map((one) => h("p", {}, inWords(one))));
    say(now.get("type-1") ? t("gauge type-1") : inWords(walk.sentence));
  } else {
    at("sentences").replaceChildren();
    say(t("gauge begin"));
  }
  await show(at("figures"), figures);
  at("figures").prepend(h("section", { class: "steps" }, h("ol", {}, ...stepsOf(walk)), h("p", { class: "caution" }, t("gauge caution")),
    h("p", {}, h("a", { href: "/" }, t("toOperator")))));
}

admitted().then((goesOn) => { if (goesOn) start(answer); });
