// The title block of the drawing: which nest and key it shows, the scale that a step is taken on,
// what the finger knows of its place, and the two ways that it goes by itself.

import { h, s, styled } from "/elements.js";
import { fixed } from "/local.js";
import { t } from "/texts.js";
import { spoken } from "/sentences.js";
import { keyOf, steps } from "/moves.js";
import { boxOf } from "/plan_view.js";

const coordinates = (place) => ({ x: fixed(place.x_mm, 2), y: fixed(place.y_mm, 2), z: fixed(place.z_mm, 2) });
const cell = (name, head, ...inside) => h("div", { class: `cell ${name}` }, h("p", { class: "cell-head" }, ...head), ...inside);

// The nests where they lie in the whole travel, and the finger among them.
function keyPlan(panel, sheet, chosen, place, choose) {
  const boxes = sheet.nests.map((one) => boxOf(panel, one)), reach = sheet.finger;
  const wide = reach?.travel_x_mm ?? Math.max(...boxes.map((box) => box.x + box.width)), high = reach?.travel_y_mm ?? Math.max(...boxes.map((box) => box.y + box.height));
  const share = (part, whole) => `${((100 * part) / whole).toFixed(2)}%`;
  const buttons = sheet.nests.map((one, i) => styled(
    h("button", { type: "button", class: "nest-place", "aria-pressed": String(one.nest === chosen.nest), "aria-label": t("nest", { n: one.nest }), onclick: () => choose(one.nest) }, one.nest),
    { left: share(boxes[i].x, wide), width: share(boxes[i].width, wide), bottom: share(boxes[i].y, high), height: share(boxes[i].height, high) }));
  const dot = place && reach ? s("svg", { class: "key-plan-tip", viewBox: `0 0 ${wide} ${high}`, preserveAspectRatio: "none", "aria-hidden": "true" },
    s("path", { class: "tip-cross", d: `M${place.x_mm} 0V${high}M0 ${high - place.y_mm}H${wide}` })) : null;
  const whole = h("div", { class: "key-plan", role: "group", "aria-keyshortcuts": "F7", "aria-label": t("nestHead") }, dot, ...buttons);
  return styled(whole, { "aspect-ratio": `${wide} / ${high}`, width: Math.min(178, (56 * wide) / high) });
}

function keyChoice(panel, chosen, choose) {
  return h("select", { name: "over", "aria-label": t("overWhich"), onchange: (event) => choose(event.target.value) },
    ...panel.keys.map((key) => h("option", { value: key.name, selected: key.name === chosen.key }, key.name)));
}

// A step's length, chosen on the drawing's scale bar.
function scaleBar(step, choose) {
  return h("div", { class: "scale-bar", role: "group", "aria-keyshortcuts": "F3", "aria-label": t("stepSize") }, ...steps.map((mm) =>
    h("button", { type: "button", class: "length", "aria-pressed": String(mm === step), onclick: () => choose(mm) }, h("span", { class: "length-text" }, t(`step ${mm}`)), h("span", { class: "ruler", "aria-hidden": "true" }))));
}

const act = (key, words, able, work) => h("button", { type: "button", class: "own-way", "aria-keyshortcuts": key, disabled: !able, onclick: work }, keyOf(key), words);

function placeWords({ place, last, sheet, held }) {
  if (sheet.no_motion) return spoken(sheet.no_motion);
  if (place) return [t("fingerAt", coordinates(place))];
  if (held || !last) return [t(held ? "fingerUnknown" : "fingerAtRest")];
  return [t("lastKnown", coordinates(last))];
}

// `now`: { panel, sheet, chosen, step, place, last, held, open, homed }; `does`: what each choice does.
export function titleBlock(now, does) {
  const { panel, sheet, chosen, step } = now;
  const nests = cell("which-nest", [keyOf("F7"), t("nest", { n: chosen.nest })], keyPlan(panel, sheet, chosen, now.place, does.nest));
  return [nests, cell("which-key", [t("overWhich")], keyChoice(panel, chosen, does.key)), cell("scale", [keyOf("F3"), t("stepSize")], scaleBar(step, does.step)),
    h("div", { class: "cell own-ways" }, h("p", { class: "cell-head", id: "place" }, ...placeWords(now)),
      h("div", { class: "own" }, act("Home", t("homeFinger"), now.open, does.home), act("End", t("liftFinger"), now.homed, does.lift)))];
}
