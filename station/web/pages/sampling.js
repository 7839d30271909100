// Sampling of slow steps: which inspection is in force, which units of which lots are to be looked at,
// and the sheet on which a person says what was found.

import { h } from "/elements.js";
import { ask, Silent, tell } from "/calls.js";
import { askPlan, askResume, askUnits } from "/sampling_plans.js";
import { t } from "/texts.js";
import * as quality from "/quality.js";
import { askReason, field, mayDecide } from "/reason.js";
import { callOf } from "/sheets.js";
import { filters, sheet, showControls } from "/question.js";

// A result that the page stopped waiting for may be kept all the same: the lot tells.
async function told({ plan, lot }, found) {
  try {
    return (await tell("/api/quality/sampling-result", { plan: plan.plan, lot: lot.lot, ...found })).sentence;
  } catch (trouble) {
    if (!(trouble instanceof Silent)) throw trouble;
    const { plans } = await ask("/api/quality/sampling").catch(() => ({ plans: [] }));
    const now = plans.find((one) => one.plan === plan.plan)?.lots.find((one) => one.lot === lot.lot);
    if (now?.nonconforming !== found.nonconforming) throw new Error(t("resultUnknown"));
    return t("resultKept", { lot: lot.lot });
  }
}

function counted({ found, ...typed }) {
  if (!/^\d{1,6}$/.test(found)) throw new Error(t("noCount"));
  return { ...typed, nonconforming: Number(found) };
}

const sampleOf = ({ plan, lot }) => t("sampleOf", { step: plan.step, product: plan.product, sample: lot.sample, size: lot.size, accept: lot.accept, inspection: t(`inspection ${lot.severity}`) });
const askAbout = (one) => askReason({
  title: t("resultOf", { lot: one.lot.lot }), about: sampleOf(one), reason: false, note: t("resultNote"), doIt: t("keepResult"),
  fields: [field(t("nonconforming"), h("input", { name: "found", type: "text", inputmode: "numeric", maxlength: 6, autocomplete: "off" }))],
  work: async (typed) => told(one, counted(typed)),
});

const entry = (one) => h("article", { class: "unit" },
  h("h3", {}, `${t("lot")} ${one.lot.lot}`), h("p", { class: "word" }, t("resultWaits")),
  h("p", {}, sampleOf(one)), h("p", {}, t("sampledUnits", { units: one.lot.units.join(" ") })),
  mayDecide() ? h("button", { type: "button", "data-act": true, onclick: () => askAbout(one) }, t("resultOf", { lot: one.lot.lot })) : null);

let plans = []; // in force, as the newest answer has them
async function waiting() {
  ({ plans } = await ask(callOf("sampling", sheet, filters())));
  const lots = plans.flatMap((plan) => plan.lots.filter((lot) => lot.nonconforming === null).map((lot) => ({ plan, lot })));
  const list = h("section", { class: "units", id: "waiting" }, h("h2", {}, t("lotsToLookAt", { n: lots.length })), ...lots.map(entry));
  return { words: [], figures: [], first: lots.length ? list : "" };
}

export const answer = async (newest) => {
  await quality.answer(newest, waiting);
  if (newest()) showControls();
};

const stopped = () => plans.filter((plan) => plan.next_severity === "stopped");
export const acts = () => (mayDecide() ? [
  ["F4", () => t("planShortAct"), askPlan],
  ...(plans.length ? [["F6", () => t("unitsShort"), () => askUnits(plans)]] : []),
  ...(stopped().length ? [["F7", () => t("resumeShort"), () => askResume(stopped())]] : []),
] : []);
