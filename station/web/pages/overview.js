// The sheet that is left open all day: the newest lot as a tape, every key's control chart at its
// place, where units fail, yield over time; on top the only thing to do next.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { inWords, spoken } from "/sentences.js";
import { chartFigure, panelFigure, show, tapeFigure } from "/figures.js";
import { callOf } from "/sheets.js";
import { toAlarms } from "/alarms.js";
import { t } from "/texts.js";
import { filters, renew, say, sheet, toSheet, toUnit } from "/question.js";

const at = (id) => document.getElementById(id);
const sheetAbout = { lot: "yield", "in doubt": "doubt", dispositions: "dispositions", chart: "chart" };

// Alarms are of every lot, and so is the way to them.
const everyAlarm = () => toAlarms(Object.fromEntries(sheet.fields.map((field) => [field, ""])));
function sentenceOf(next, station) {
  if (next.about === "alarms") return h("a", { href: everyAlarm() }, inWords(next.sentence));
  const about = sheetAbout[next.about];
  if (!about) return inWords(next.sentence);
  const more = about === "chart" ? { check: next.check, key: next.key } : about === "dispositions" ? { lot: "" } : about === "doubt" ? { station } : {};
  return h("a", { href: toSheet(about, more) }, inWords(next.sentence));
}

// A key leads to its own large chart, of the check that the small ones show.
function openOf(panel, lot) {
  if (panel.id === "failures") return () => toSheet("yield", { lot });
  return (place) => (place.chart === null ? null : toSheet("chart", { check: panel.table.title, key: place.key, lot }));
}

export async function answer(newest) {
  const address = callOf("overview", sheet, filters());
  const { next, lot, drawn_lot, alarms } = await ask(`${address}&format=json`);
  const body = await ask(`${address}&format=sheet`);
  if (!newest()) return;
  say("");
  at("sentence").append(sentenceOf(next, lot?.station ?? ""));
  at("sentences").replaceChildren(...[body.title, ...body.sentences.slice(0, 3)].map((one) => h("p", {}, ...spoken(one))),
    ...(alarms ? [h("p", {}, h("a", { href: everyAlarm() }, t("openAlarms", { n: alarms })))] : []));
  const name = drawn_lot ?? "";
  const panels = body.panels.map((panel) => panelFigure(panel, address, openOf(panel, name)));
  const tapes = body.tapes.map((tape) => tapeFigure(tape, address, (unit) => toUnit(unit.serial)));
  const failures = body.panels.some((panel) => panel.id === "failures") ? [panels.pop()] : [];
  await show(at("figures"), [...panels, ...tapes, ...failures, ...body.charts.map((chart) => chartFigure(chart, address))],
    { newest, columns: panels.length + tapes.length });
}

// What a unit that ended changes is asked for at most so often.
const patience = 5000; // ms
let marks = null, asked = 0, later = 0;
export function take(state) {
  const now = `${state.lot} ${state.count.loaded} ${state.state}`;
  if (now === marks) return;
  const first = marks === null;
  marks = now;
  if (first) return;
  clearTimeout(later);
  later = setTimeout(() => { asked = performance.now(); renew(); }, Math.max(200, asked + patience - performance.now()));
}
