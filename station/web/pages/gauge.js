// A gauge study step by step: what to measure next, what was measured, and the result.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { inWords, spoken } from "/sentences.js";
import { foundBy } from "/findings.js";
import { chartFigure, show, tableFigure } from "/figures.js";
import { callOf } from "/sheets.js";
import { filters, say, sheet, toUnit } from "/question.js";

const at = (id) => document.getElementById(id);
const begun = { step: "choose", units: [], units_wanted: 10, repetitions: 2, missing: 0 };

// What to do now is the station's own word, as in the headline; the rest is done or to come.
function stepsOf(walk) {
  const enough = walk.units.length >= walk.units_wanted;
  const done = { choose: walk.units.length > 0, first: enough, again: enough && walk.missing === 0 };
  return ["choose", "first", "again", "read"].map((name) => {
    const state = name === walk.step ? "now" : done[name] ? "done" : "later";
    return h("li", { class: state }, h("b", {}, t(`step ${state}`)), " ",
      t(`gauge ${name}`, { units: walk.units_wanted, so: walk.units.length, nests: walk.nests.length || "–", times: walk.repetitions, missing: walk.missing }));
  });
}

// The steps are those of a study of many units.
const stepsFigure = (walk, many) => h("section", { class: "steps" }, many ? h("ol", {}, ...stepsOf(walk)) : null,
  h("p", { class: "caution" }, t("gauge caution")), h("p", {}, h("a", { href: "/" }, t("toOperator"))));

// A table without one number tells nothing: its rows end with the reason.
const tells = (table) => table.rows.some((row) => row.some((cell) => typeof cell !== "string"));
const reasonsOf = (tables) => [...new Set(tables.flatMap((table) => table.rows.map((row) => row.at(-1))))].filter(Boolean).slice(0, 3);

export async function answer(newest) {
  const now = filters(), named = now.get("lot"), type1 = Boolean(now.get("type-1"));
  const addresses = sheet.calls.map((call) => callOf(call, sheet, now));
  const figures = [];
  let walk, finding = null, headline = t("gauge begin"), sentences = [];
  if (named) {
    walk = await ask(addresses[0]);
    const steps = await ask(`${addresses[0]}&format=sheet`), result = await ask(`${addresses[1]}&format=sheet`);
    const links = { unit: (words) => toUnit(words) }, told = result.tables.filter(tells);
    figures.push(...steps.tables.map((table, i) => tableFigure(table, i + 1, addresses[0], links)));
    figures[0].element.id = "measured";
    figures.push(...result.charts.map((chart) => chartFigure(chart, addresses[1], links)),
      ...told.map((table) => tableFigure(table, result.tables.indexOf(table) + 1, addresses[1])));
    headline = type1 ? t("gauge type-1") : inWords(walk.sentence);
    finding = told.length && (type1 || walk.whole) ? result.finding : null;
    sentences = told.length ? result.sentences : [t("noResult"), ...reasonsOf(result.tables)];
  } else {
    const { nests } = await ask("/api/panel");
    walk = { ...begun, nests, missing: begun.units_wanted * nests.length * begun.repetitions };
  }
  if (!newest()) return;
  say(finding ? foundBy(finding) : headline);
  at("sentences").replaceChildren(...sentences.map((one) => h("p", {}, ...spoken(one))));
  await show(at("figures"), figures, { newest, first: stepsFigure(walk, !type1) });
}
