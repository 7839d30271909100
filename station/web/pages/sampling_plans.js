// Sampling plans as a person sets them: the plan itself, which units of a lot are looked at, and
// inspection that goes on after a stop. Each is asked for on a sheet that says what it means.

import { h } from "/elements.js";
import { ask, Silent, tell } from "/calls.js";
import { decimal } from "/local.js";
import { t } from "/texts.js";
import { askReason, field } from "/reason.js";

const levels = ["S-1", "S-2", "S-3", "S-4", "I", "II", "III"];
const limits = [0.01, 0.015, 0.025, 0.04, 0.065, 0.1, 0.15, 0.25, 0.4, 0.65, 1, 1.5, 2.5, 4, 6.5, 10]; // ISO 2859-1, preferred

const choice = (name, options, usual) => h("select", { name }, ...options.map(([value, words]) => h("option", { value, selected: value === usual }, words)));
const whole = (text) => (/^\d{1,7}$/.test(text) ? Number(text) : 0);
const nameOf = (plan) => t("planOf", plan);

// What the page stopped waiting for may be kept all the same: the sheet tells.
async function kept(path, body) {
  try {
    return (await tell(path, body)).sentence;
  } catch (trouble) {
    throw trouble instanceof Silent ? new Error(t("booksUnknown")) : trouble;
  }
}

export async function askPlan() {
  const { product, steps } = await ask("/api/recipe");
  askReason({
    title: t("planTitle"), about: t("planAsk"), note: t("booksNote"), doIt: t("planDo"),
    fields: [field(t("planProduct"), h("input", { name: "product", type: "text", value: product, maxlength: 64 })),
      field(t("planStep"), choice("step", steps.map((one) => [one.step, one.step]))), field(t("planLevel"), choice("level", levels.map((one) => [one, one]), "II")),
      field(t("planLimit"), choice("aql", limits.map((one) => [String(one), decimal(one)]), "1"))],
    work: ({ aql, ...typed }) => kept("/api/quality/sampling-plan", { ...typed, aql: Number(aql) }),
  });
}

const planField = (plans) => field(t("unitsPlan"), choice("plan", plans.map((plan) => [String(plan.plan), nameOf(plan)])));

export const askUnits = (plans) => askReason({
  title: t("unitsTitle"), about: t("unitsAsk"), reason: false, note: t("unitsNote"), doIt: t("unitsDo"),
  fields: [planField(plans), field(t("unitsLot"), h("input", { name: "lot", type: "text", maxlength: 64, autocomplete: "off" })),
    field(t("unitsSize"), h("input", { name: "size", type: "text", inputmode: "numeric", maxlength: 7, autocomplete: "off" }))],
  work({ plan, lot, size, ...typed }) {
    if (!lot) throw new Error(t("noLotName"));
    if (whole(size) < 2) throw new Error(t("noSize"));
    return kept("/api/quality/sampling-units", { ...typed, plan: Number(plan), lot, size: whole(size) });
  },
});

export const askResume = (plans) => askReason({
  title: t("resumeTitle"), about: t("resumeAsk"), note: t("booksNote"), doIt: t("resumeDo"), fields: [planField(plans)],
  work: ({ plan, ...typed }) => kept("/api/quality/sampling-resume", { ...typed, plan: Number(plan) }),
});
