// How worn the contacts of the fixture are: the worst first, the rest folded.

import { h } from "/elements.js";
import { t } from "/texts.js";
import { say, spoken } from "/sentences.js";
import { fixed, moment } from "/local.js";

const shown = 8;
const percent = (share) => (share === null ? "\u2013" : `${fixed(100 * share, 1)}\u2009%`);
const cell = (text, figure) => h("td", { class: figure ? "figure" : null }, text);

const rowOf = (contact) => h("tr", { class: contact.worn ? "worn" : null },
  cell(say(contact.use)), cell(String(contact.coil), true), cell(String(contact.operations), true), cell(percent(contact.share_of_relay_life), true),
  cell(percent(contact.share_of_pin_life), true), cell(contact.replaced ? `${moment(contact.replaced.slice(0, 10))}, ${contact.who}: ${contact.why}` : ""), cell(contact.worn ? t("worn") : ""));

const tableOf = (contacts) => h("div", { class: "wide", tabindex: "0" }, h("table", {},
  h("thead", {}, h("tr", {}, ...["contactUse", "coil", "operations", "ofRelay", "ofPin", "replaced", "state"].map((head) => h("th", { scope: "col" }, t(head))))),
  h("tbody", {}, ...contacts.map(rowOf))));

export function wearOf(wear) {
  const parts = [wear.relay_life === null && wear.pin_life === null ? h("p", {}, t("noLife")) : null, ...wear.warnings.map((one) => h("p", { class: "wrong" }, ...spoken(one))),
    tableOf(wear.contacts.slice(0, shown))].filter(Boolean);
  if (wear.contacts.length > shown)
    parts.push(h("details", {}, h("summary", {}, t("allContacts", { n: wear.contacts.length })), tableOf(wear.contacts)));
  return h("div", {}, ...parts);
}
