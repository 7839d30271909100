// The sheet of control charts: the charts, their alarms where they are kept with the recipe, and the
// act that keeps them.

import { Silent, tell } from "/calls.js";
import { t } from "/texts.js";
import { alarms } from "/alarms.js";
import * as quality from "/quality.js";
import { askReason, mayDecide } from "/reason.js";
import { filters, sheet } from "/question.js";
import { choicesOf, fieldsOf, flags } from "/sheets.js";

let looked = false; // at the alarms, which an address may lead to

export async function answer(newest) {
  await quality.answer(newest, alarms);
  if (looked || !newest()) return;
  looked = true;
  if (location.hash === "#alarms") document.getElementById("alarms")?.scrollIntoView();
}

async function kept(typed) {
  try {
    return (await tell("/api/quality/freeze", { ...fieldsOf("chart", sheet, filters()), ...typed })).sentence;
  } catch (trouble) {
    if (trouble instanceof Silent) throw new Error(t("freezeUnknown"));
    throw trouble;
  }
}

// What the address narrows the charts to is what they are made of.
const valueOf = (name, value) => (flags.includes(name) ? t(`yes ${name}`) : choicesOf[name] ? t(`${name} ${value}`) : value);
const madeOf = () => Object.entries(fieldsOf("chart", sheet, filters())).map(([name, value]) => `${t(`field ${name}`)}: ${valueOf(name, value)}`).join("; ");
const askToKeep = () => askReason({ title: t("freeze"), about: t("freezeAsk", { of: madeOf() || t("all") }), note: t("freezeNote"), doIt: t("freezeDo"), work: kept });

export const acts = () => (mayDecide() ? [["F4", () => t("freezeShort"), askToKeep]] : []);
