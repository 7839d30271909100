// The plan view: the chosen nest's panel from above at its true place in the finger's travel, the
// finger on it, and from the finger its moves. Millimetres, y towards the back.

import { h, s } from "/elements.js";
import { roomAbove } from "/shapes.js";
import { t } from "/texts.js";
import { frameOf } from "/frame.js";
import { arrow, buttonSize, extension, keyOf, mm, moveButton, moves, standing } from "/moves.js";

const flat = moves.filter(([, by]) => by[2] === 0);
const unknownBefore = 24; // mm in front of the panel, where a finger of no known place is drawn

export const boxOf = (panel, nest) => ({ x: nest.origin_x_mm, y: nest.origin_y_mm, width: panel.width_mm, height: panel.height_mm });

// A hatch of its own for the finger: it is no key.
export const hatch = (id) => s("defs", {}, s("pattern", { id, width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, s("line", { class: "hatch", x1: 0, x2: 0, y1: 0, y2: 5 })));

function nameSize(panel) {
  const keys = panel.keys.map((key) => ({ name: key.name, x: key.x_mm, y: panel.height_mm - key.y_mm, width: key.width_mm, height: key.height_mm }));
  return (scale) => Math.max(9, Math.min(14, ...keys.map((key) => {
    const { width, above } = roomAbove(key, keys);
    return Math.min((width * scale * 0.96) / (0.62 * Math.max(key.name.length, 2)), above * scale * 0.85);
  })));
}

function keyOn(key, nest, frame, chosen, named) {
  const x = frame.x(nest.origin_x_mm + key.x_mm), y = frame.y(nest.origin_y_mm + key.y_mm), wide = key.width_mm * frame.scale, high = key.height_mm * frame.scale;
  const over = 5, is = chosen?.nest === nest.nest && chosen.key === key.name;
  const body = { class: is ? "pad chosen" : "pad", "data-nest": nest.nest, "data-key": key.name };
  const shape = key.kind === "wheel" ? s("ellipse", { ...body, cx: x, cy: y, rx: wide / 2, ry: high / 2 }, s("title", {}, key.name))
    : s("rect", { ...body, x: x - wide / 2, y: y - high / 2, width: wide, height: high, rx: key.kind === "proximity" ? 0 : Math.min(8, high / 4) }, s("title", {}, key.name));
  return [shape, named ? s("path", { class: "centre", d: `M${x - wide / 2 - over} ${y}h${wide + 2 * over}M${x} ${y - high / 2 - over}v${high + 2 * over}` }) : null,
    named ? s("text", { class: "key-name", x, y: y - high / 2 - (named > 12 ? 8 : 2), "font-size": named }, key.name) : null];
}

function panelOn(panel, nest, frame, chosen, here) {
  const x = frame.x(nest.origin_x_mm), y = frame.y(nest.origin_y_mm + panel.height_mm), wide = panel.width_mm * frame.scale, high = panel.height_mm * frame.scale;
  return s("g", { class: here ? "panel here" : "panel" },
    s("rect", { class: "panel-edge", x, y, width: wide, height: high, rx: 5 * frame.scale }), s("text", { class: "nest-name", x: x + 2, y: y - 8 }, t("nest", { n: nest.nest })),
    ...panel.keys.flatMap((key) => keyOn(key, nest, frame, chosen, here ? nameSize(panel)(frame.scale) : 0)));
}

// `how`: known, was (dotted: where it was last known), or unknown (a question mark).
function fingerOn(x, y, r, how) {
  const arm = r + 7;
  return s("g", { class: how === "known" ? "tip" : `tip ${how}`, transform: `translate(${x} ${y})` },
    s("circle", { class: "tip-disc", r, fill: how === "known" ? "url(#tip-hatch)" : "none" }),
    how === "unknown" ? s("text", { class: "tip-doubt", y: 6 }, "?") : s("path", { class: "tip-cross", d: `M${-arm} 0h${2 * arm}M0 ${-arm}v${2 * arm}` }));
}

const apart = (a, b) => a.left + a.width <= b.left || b.left + b.width <= a.left || a.top + a.height <= b.top || b.top + b.height <= a.top;

// A place for the leader's words near their key that covers no other button: above the panel, else
// below it, else further aside.
function wordsPlace(box, frame, x, taken, room, words) {
  const width = Math.min(room.width - 8, 56 + words * 9.8), { height } = buttonSize;
  const above = frame.y(box.y + box.height) - height - 6, below = frame.y(box.y) + 6;
  const fit = (left) => Math.max(4, Math.min(left, room.width - width - 4));
  const all = [0, 1, -1].flatMap((aside) => [above, below].map((top) => ({ left: fit(x - width / 2 + aside * (width / 2 + 70)), top: Math.max(2, Math.min(top, room.height - height - 2)), width, height })));
  return all.find((one) => taken.every((other) => apart(one, other))) ?? all[0];
}

function leaderTo(view, { panel, nest, chosen, frame, taken, room, finger, known, act }) {
  const key = panel.keys.find((one) => one.name === chosen.key), box = boxOf(panel, nest);
  const x = frame.x(box.x + key.x_mm), y = frame.y(box.y + key.y_mm), high = (key.height_mm / 2) * frame.scale;
  const far = known ? Math.hypot(finger.x - box.x - key.x_mm, finger.y - box.y - key.y_mm) : 0;
  const words = far < 0.05 ? t("overKey", { key: key.name }) : t("overKeyFar", { key: key.name, n: mm(far) });
  const place = wordsPlace(box, frame, x, taken, room, words.length), up = place.top < y, edge = up ? place.top + place.height : place.top;
  const foot = Math.max(place.left + 12, Math.min(x, place.left + place.width - 12));
  view.svg.append(s("path", { class: "leader-line", d: `M${foot} ${edge}L${x} ${up ? y - high - 24 : y + high}` }), s("circle", { class: "leader-end", cx: x, cy: up ? y - high - 24 : y + high, r: 3 }));
  if (known && far > 0.05) view.svg.append(s("path", { class: "over-way", d: `M${frame.x(finger.x)} ${frame.y(finger.y)}L${x} ${y}` }));
  view.buttons.push(standing(h("button", { type: "button", class: "move over", "aria-keyshortcuts": "F4", disabled: !act.able, onclick: act.over }, keyOf("F4"), words), place));
}

// The dimension lines of the moves, clear of the panel: left and right under it, back and front
// beside it.
function dimensions(view, box, frame, { x, y, r }, act) {
  const { width, height } = buttonSize, low = Math.max(frame.y(box.y) + 14, y + r + 24), aside = Math.min(frame.x(box.x) - 12, x - 116);
  view.svg.append(extension(x, y, x, low + 8), extension(x, y, aside - 8, y));
  const under = { top: low + 6, width, height }, beside = { left: Math.max(2, aside - 8 - width), width, height };
  const places = [{ ...under, left: x - width - 3 }, { ...under, left: x + 3 }, { ...beside, top: y - height - 2 }, { ...beside, top: y + 2 }];
  return flat.map((move, i) => {
    const [right, back] = move[1];
    view.svg.append(...(right ? arrow(x, low, [right, 0], act.step) : arrow(aside, y, [0, -back], act.step)));
    view.buttons.push(moveButton(move, act.step, places[i], act.able, act.by));
    return places[i];
  });
}

const paper = { x: [132, 24], y: [62, 78] }, arms = { x: [232, 112], y: [64, 100] }; // px

// `act`: { able, step, by(direction), over() }; `last`: where it stood while it was in somebody's hand.
export function planView(panel, sheet, chosen, place, last, act, room) {
  const nest = sheet.nests.find((one) => one.nest === chosen.nest), box = boxOf(panel, nest), known = place !== null, seen = place ?? last;
  const finger = !sheet.finger ? null : seen ? { x: seen.x_mm, y: seen.y_mm } : { x: box.x + box.width / 2, y: box.y - unknownBefore };
  const frame = frameOf(box, finger, paper, arms, room);
  const svg = s("svg", { viewBox: `0 0 ${room.width} ${room.height}`, width: room.width, height: room.height, role: "img", "aria-label": t("travel") }, hatch("tip-hatch"));
  if (sheet.finger) svg.append(s("rect", { class: "bed", x: frame.x(0), y: frame.y(sheet.finger.travel_y_mm), width: sheet.finger.travel_x_mm * frame.scale, height: sheet.finger.travel_y_mm * frame.scale }));
  for (const one of sheet.nests) svg.append(panelOn(panel, one, frame, chosen, one === nest));
  svg.append(s("text", { class: "side", x: room.width - 10, y: room.height - 8 }, t("frontSide")), s("text", { class: "side", x: room.width - 10, y: 20 }, t("backSide")));
  const view = { svg, buttons: [] };
  if (finger) {
    const tip = { x: frame.x(finger.x), y: frame.y(finger.y), r: Math.max((sheet.finger.diameter_mm / 2) * frame.scale, 9) };
    const taken = [...dimensions(view, box, frame, tip, act), { left: frame.x(box.x), top: frame.y(box.y + box.height) - 24, width: 70, height: 20 }];
    leaderTo(view, { panel, nest, chosen, frame, taken, room, finger, known, act });
    svg.append(fingerOn(tip.x, tip.y, tip.r, known ? "known" : last ? "was" : "unknown"));
  }
  return [svg, ...view.buttons];
}
