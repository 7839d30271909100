// Every reference step of one nest at the panel's own keys: a contact, open or closed, and a small
// capacitor behind it to earth, in the spirit of IEC 60617, with its certified value.
// One Tab stop; arrows go from contact to contact, Enter or Space connects.

import { h, s, styled } from "/elements.js";
import { measured } from "/local.js";
import { t } from "/texts.js";
import { fieldsOf, placesOf } from "/contact_fields.js";

const row = 44, symbol = 48, digit = 8.7; // px

export const isOn = (step, connected) =>
  connected?.nest === step.nest && connected.channel === step.channel && connected.reference === step.reference;
export const valueOf = (step) => measured(step.value_pf, step.expanded_uncertainty_pf);
export const keyOfChannel = (panel, channel) => panel.keys.find((key) => key.channels?.includes(channel))?.name ?? "";

// From the key's electrode down the left side; each branch a contact, a capacitor, earth.
const branch = (on) => s("svg", { class: "branch", width: symbol, height: row, viewBox: `0 0 ${symbol} ${row}`, "aria-hidden": "true" },
  s("path", { d: `M5 0V${row}M5 22H12${on ? "H26" : "L25 12"}M25 22H31M36 22H41` }), s("path", { class: "plate", d: "M31 13V31M36 13V31" }), s("path", { d: "M41 15V29M44 18V26M47 20.5V23.5" }));

function contactOf(step, place, connected, mayConnect, connect) {
  const on = isOn(step, connected), [value, doubt] = valueOf(step);
  const where = { ...step, value: `${value} \u00b1 ${doubt}` };
  return h("button", {
    type: "button", class: "contact", tabindex: "-1", "aria-pressed": String(on), disabled: !mayConnect,
    "aria-label": place ? t("connectAtKey", { ...where, key: place }) : t("connectStep", where), "data-coil": step.coil, onclick: () => connect(step),
  }, branch(on), h("span", {}, `${step.reference} ${value}`, h("small", {}, `\u00b1 ${doubt}`)));
}

export function referencesOf(panel, sheet, nest, connected, mayConnect, connect, room) {
  const steps = sheet.equipment.steps.filter((step) => step.nest === nest);
  const least = (name) => Math.min(...steps.filter((step) => step.reference === name).map((step) => step.value_pf));
  const names = [...new Set(steps.map((step) => step.reference))].sort((a, b) => least(a) - least(b));
  const { keys, others } = placesOf(panel, steps);
  const widest = Math.max(...steps.map((step) => step.reference.length + 1 + valueOf(step)[0].length), 8);
  const one = { width: symbol + 4 + digit * widest, height: row }, lines = [];
  const column = (channel, key, named = false) => {
    const own = names.map((name) => steps.find((step) => step.reference === name && step.channel === channel));
    lines.push({ channel, contacts: own.map((step) => (step ? contactOf(step, key, connected, mayConnect, connect) : null)) });
    return h("div", { class: "column" }, named ? h("p", { class: "channel-name" }, t("channels", { n: channel })) : null, ...lines.at(-1).contacts);
  };
  const drawn = fieldsOf(panel, keys, names.length, one, room);
  const box = ({ left, top, width, height }) => ({ left, top, width, height });
  const field = (place) => styled(h("div", { class: "field", role: "group", "aria-label": t("atKey", { key: place.key.name }) },
    h("p", { class: "field-name" }, place.key.name, " ", place.channels.length > 1 ? null : h("small", {}, t("channels", { n: place.channels[0] }))), ...place.channels.map((channel) => column(channel, place.key.name, place.channels.length > 1))),
  { ...box(place), "--columns": String(place.columns) });
  const drawing = h("div", { class: "wide", tabindex: drawn.width > room ? "0" : null }, styled(h("div", { class: "contact-drawing" }, styled(h("div", { class: "contact-panel" }), box(drawn.outline)), ...drawn.fields.map(field)), { width: drawn.width, height: drawn.height }));
  const rest = others.length ? h("div", { class: "no-key" }, ...others.map((channel) =>
    styled(h("div", { class: "field" }, h("p", { class: "field-name" }, t("channels", { n: channel })), column(channel, "")), { width: one.width }))) : null;
  const whole = h("div", { class: "contacts" }, ...[keys.length ? drawing : null, rest].filter(Boolean));
  walkable(whole, lines.sort((a, b) => a.channel - b.channel).map((line) => line.contacts));
  return whole;
}

// Left and right: the channels in their order; up and down: the references of one.
function walkable(whole, lines) {
  const all = lines.flat().filter(Boolean);
  (all.find((one) => one.getAttribute("aria-pressed") === "true") ?? all[0])?.setAttribute("tabindex", "0");
  whole.addEventListener("keydown", (event) => {
    const [across, down] = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] }[event.key] ?? [0, 0];
    const now = document.activeElement, line = lines.findIndex((one) => one.includes(now));
    if ((!across && !down) || line < 0) return;
    event.preventDefault();
    event.stopPropagation();
    const next = lines[line + across]?.[lines[line].indexOf(now) + down];
    if (!next) return;
    now.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus();
  });
}
