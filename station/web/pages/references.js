// Every reference step of one nest as a field of contacts: a row a reference, a column a channel.
// One Tab stop; arrows go from contact to contact, Enter or Space connects.

import { h } from "/elements.js";
import { decimal, precise } from "/local.js";
import { t } from "/texts.js";

const figure = (value) => decimal(value.toPrecision(4));
const doubt = (value) => precise(value, 2);

function contactOf(step, connected, mayConnect, connect) {
  const on = connected?.nest === step.nest && connected.channel === step.channel && connected.reference === step.reference;
  return h("button", {
    type: "button", class: "contact", tabindex: "-1", "aria-pressed": String(on), disabled: !mayConnect,
    "aria-label": t("connectStep", { ...step, value: figure(step.value_pf) }), "data-coil": step.coil, onclick: () => connect(step),
  }, h("span", { class: on ? "node closed" : "node", "aria-hidden": "true" }), h("span", {}, figure(step.value_pf)),
  h("small", {}, `\u00b1 ${doubt(step.expanded_uncertainty_pf)}`));
}

export function referencesOf(sheet, nest, connected, mayConnect, connect) {
  const steps = sheet.equipment.steps.filter((step) => step.nest === nest);
  const least = (name) => Math.min(...steps.filter((step) => step.reference === name).map((step) => step.value_pf));
  const names = [...new Set(steps.map((step) => step.reference))].sort((a, b) => least(a) - least(b));
  const channels = [...new Set(steps.map((step) => step.channel))].sort((a, b) => a - b);
  const row = (name) => h("tr", {}, h("th", { scope: "row" }, name), ...channels.map((channel) => {
    const step = steps.find((one) => one.reference === name && one.channel === channel);
    return h("td", {}, step ? contactOf(step, connected, mayConnect, connect) : "\u2013");
  }));
  const table = h("table", { class: "contacts" },
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, t("reference")), ...channels.map((channel) => h("th", { scope: "col" }, t("channel", { n: channel }))))),
    h("tbody", {}, ...names.map(row)));
  walkable(table, channels.length);
  return h("div", { class: "wide" }, table);
}

function walkable(table, columns) {
  const contacts = [...table.querySelectorAll(".contact")];
  const stop = contacts.find((one) => one.getAttribute("aria-pressed") === "true") ?? contacts[0];
  stop?.setAttribute("tabindex", "0");
  table.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: columns, ArrowUp: -columns }[event.key];
    const now = contacts.indexOf(document.activeElement);
    if (!step || now < 0) return;
    event.preventDefault();
    event.stopPropagation();
    const next = contacts[now + step];
    if (!next) return;
    contacts[now].setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus();
  });
}
