// Alarms of frozen charts, newest first: which of them nobody has replied to, and the sheet on which
// a person does, with name and reason.

import { h } from "/elements.js";
import { ask, Silent, tell } from "/calls.js";
import { precise, toMinute as moment } from "/local.js";
import { t } from "/texts.js";
import { inWords } from "/sentences.js";
import { foldedTable } from "/figures.js";
import { askReason, mayDecide } from "/reason.js";
import { filters, toSheet, toUnit } from "/question.js";

const mostShown = 100; // the table and the CSV have every one
const figure = (value) => (value === null ? "–" : precise(value, 5));
export const openOf = (alarms) => alarms.filter((one) => !one.reply).length;
export const toAlarms = (more = {}) => `${toSheet("chart", more)}#alarms`;

// A reply that the page stopped waiting for may be kept all the same: the alarm tells.
async function replied(alarm, typed) {
  try {
    return (await tell("/api/quality/alarm", { alarm: alarm.alarm, ...typed })).sentence;
  } catch (trouble) {
    if (!(trouble instanceof Silent)) throw trouble;
    const all = await ask("/api/quality/alarms?all=yes").catch(() => ({ alarms: [] }));
    const reply = all.alarms.find((one) => one.alarm === alarm.alarm)?.reply;
    if (reply?.why !== typed.why) throw new Error(t("replyUnknown"));
    return `The reply to alarm ${alarm.alarm} is kept (${reply.who}): ${reply.why}`;
  }
}

const placeOf = ({ check, key, channel, frequency, stage }) => [
  inWords(check), key && `${t("key")} ${key}`, channel >= 0 && t("channelNumber", { n: channel }), frequency >= 0 && t("frequencyNumber", { n: frequency }),
  inWords(stage)].filter(Boolean).join(", ");
const signalOf = ({ line, value, low, high, signal, chart }) => t("alarmSignal", { line: inWords(line), value: figure(value), unit: chart.unit === "1" ? "" : chart.unit,
  low: figure(low), high: figure(high), signal: inWords(signal) });

// The charts of the alarm's own lot, where its point stands.
const chartOf = ({ chart, lot }) => toSheet("chart", { check: chart.check, key: chart.key, "as-left": chart.stage === "as left" ? "yes" : "",
  lot, recipe: chart.recipe, revision: chart.recipe_revision, since: "", until: "", station: "", product: "", nest: "", kind: "", baseline: "", anew: "" });

const askAbout = (alarm) => askReason({
  title: t("replyTo", { alarm: alarm.alarm }), about: `${placeOf(alarm.chart)}: ${signalOf(alarm)}`, note: t("replyNote"), doIt: t("reply"),
  work: (typed) => replied(alarm, typed),
});

const entry = (alarm) => h("article", { class: "unit" },
  h("h3", {}, h("a", { href: chartOf(alarm) }, placeOf(alarm.chart))),
  h("p", { class: "word" }, t(alarm.reply ? "alarm answered" : "alarm open")),
  h("p", {}, signalOf(alarm)),
  h("p", {}, `${moment(alarm.at)} · ${t("unit")} `, alarm.serial ? h("a", { href: toUnit(alarm.serial) }, alarm.serial) : t("noSerial"),
    ` · ${t("lot")} ${alarm.lot} · ${t("alarmNumber", { n: alarm.alarm })}`),
  alarm.reply ? h("p", {}, t("replySaid", { ...alarm.reply, at: moment(alarm.reply.at) })) : null,
  mayDecide() && !alarm.reply ? h("button", { type: "button", "data-act": true, onclick: () => askAbout(alarm) }, t("replyTo", { alarm: alarm.alarm })) : null);

// The words above the charts, and the list below them.
export async function alarms() {
  const all = filters().get("all") === "yes", address = `/api/quality/alarms?${all ? "all=yes" : ""}`;
  const told = await ask(address), open = openOf(told.alarms);
  if (!told.charts.length && !told.alarms.length) return { words: [h("p", {}, t("noFrozen"))], figures: [] };
  const body = await ask(`${address}&format=sheet`);
  const many = t("openAlarms", { n: open }), table = foldedTable(body.tables[0], 1, address, { serial: toUnit });
  table.element.id = "alarms-table";
  const other = h("p", {}, h("a", { href: toAlarms({ all: all ? "" : "yes" }) }, t(all ? "onlyOpen" : "allAlarms")));
  const section = h("section", { class: "units whole", id: "alarms" }, h("h2", {}, many),
    h("p", { class: "small" }, t("frozenCharts", { n: told.charts.length }), mayDecide() ? "" : ` ${t("notYourReply")}`), other,
    told.alarms.length > mostShown ? h("p", { class: "small" }, t("firstRows", { n: mostShown, of: told.alarms.length })) : null,
    ...told.alarms.slice(0, mostShown).map(entry));
  return { words: [h("p", {}, h("a", { href: toAlarms() }, many))], figures: [{ element: section, draw: () => {} }, table] };
}
