// What becomes of units, and a person's decision about one: kept with who, when and why.

import { h } from "/elements.js";
import { ask, Silent, tell } from "/calls.js";
import { t } from "/texts.js";
import { inWords, spoken } from "/sentences.js";
import { toMinute } from "/local.js";
import { foldedTable, show } from "/figures.js";
import { foundBy } from "/findings.js";
import { callOf } from "/sheets.js";
import { askReason, field, mayDecide } from "/reason.js";
import { filters, say, sheet, toUnit } from "/question.js";

const at = (id) => document.getElementById(id);
// A unit that nobody could name is that of its run.
const nameOf = (unit) => unit.serial || unit.label || t("unitOfRun", { run: unit.run });

// A decision that the page stopped waiting for may be kept all the same: the unit's run tells.
async function decided(unit, typed) {
  try {
    return (await tell("/api/quality/dispose", { serial: unit.serial || unit.label, run: unit.run, ...typed })).sentence;
  } catch (trouble) {
    if (!(trouble instanceof Silent)) throw trouble;
    const last = await newestDecision(unit, typed.to).catch(() => null);
    if (last === null || last.reason !== typed.why || last.disposition !== typed.to) throw new Error(t("stillUnknown"));
    return `Unit ${unit.serial || unit.label || `of run ${unit.run}`} is now: ${last.disposition} (${last.who}).`;
  }
}
async function newestDecision(unit, which) {
  const name = unit.serial || unit.label;
  if (!name) return (await ask(`/api/quality/dispositions?which=${which}`)).units.find((one) => one.run === unit.run)?.changes.at(-1) ?? null;
  const { runs } = await ask(`/api/unit?serial=${encodeURIComponent(name)}`);
  return runs.find((one) => one.run === unit.run)?.dispositions.at(-1) ?? null;
}

const askAbout = (unit) => askReason({
  title: t("decideOn", { unit: nameOf(unit) }), about: [inWords(unit.reason), inWords(unit.next_step)].filter(Boolean).join(" "),
  fields: [field(t("becomes"), h("select", { name: "to" }, h("option", { value: "" }, t("chooseOne")), ...["rework", "scrap", "quarantined", "released"].map((one) => h("option", { value: one }, t(`to ${one}`)))))],
  note: t("decideNote"), doIt: t("decide"), work: (typed) => decided(unit, typed),
});

// A person's reason stands as it was typed, in whatever language.
function changeOf({ at, who, disposition, reason }) {
  const station = ["", "station"].includes(who);
  return h("li", {}, `${toMinute(at)}, ${station ? t("theStation") : who}: ${t(`to ${disposition}`)}. `, ...(station ? spoken(reason) : [reason]));
}

const historyOf = (unit) => h("details", {}, h("summary", {}, t("changes", { n: unit.changes.length })), h("ol", {}, ...unit.changes.map(changeOf)));

const entry = (unit) => h("article", { class: `unit ${unit.disposition}` },
  h("h2", {}, unit.serial || unit.label ? h("a", { href: toUnit(unit.serial || unit.label) }, nameOf(unit)) : nameOf(unit)),
  h("p", { class: "word" }, t(`to ${unit.disposition}`)),
  h("p", {}, [`${t("lot")} ${unit.lot}`, t("nest", { n: unit.nest }), toMinute(unit.began), t(`mark ${unit.verdict}`)].join(" · ")),
  h("p", {}, ...spoken(unit.reason, unit.next_step)), historyOf(unit),
  mayDecide() ? h("button", { type: "button", "data-act": true, onclick: () => askAbout(unit) }, t("decideAbout", { unit: nameOf(unit) })) : null);

export async function answer(newest) {
  const address = callOf("dispositions", sheet, filters());
  const { units, more } = await ask(address), body = await ask(`${address}&format=sheet`);
  if (!newest()) return;
  say(foundBy(body.finding));
  at("sentences").replaceChildren(h("p", {}, ...spoken(body.sentences[0])));
  if (!mayDecide()) at("sentences").append(h("p", {}, t("notYourDecision")));
  if (more) at("sentences").append(h("p", {}, t("narrowIt")));
  await show(at("figures"), body.tables.map((table, i) => foldedTable(table, i + 1, address, { unit: toUnit })),
    { newest, first: h("section", { class: "units" }, ...units.map(entry)) });
}
