// The finger's moves as dimension lines: an extension line leads from the finger out of the panel,
// from there an arrow goes each way, with its length and its key as its text.

import { h, s, styled } from "/elements.js";
import { decimal, fixed } from "/local.js";
import { t } from "/texts.js";

export const steps = [0.1, 1, 5]; // mm; the last is the most that the station takes
const reach = new Map([[0.1, 30], [1, 44], [5, 60]]); // px of a line: longer is more, not to scale

// [key, which way in x, y, z, what it is called]
export const moves = [
  ["ArrowLeft", [-1, 0, 0], "jog left"], ["ArrowRight", [1, 0, 0], "jog right"],
  ["ArrowUp", [0, 1, 0], "jog back"], ["ArrowDown", [0, -1, 0], "jog front"],
  ["PageUp", [0, 0, 1], "jog up"], ["PageDown", [0, 0, -1], "jog down"],
];

// A key's cap as the reader's keyboard names it.
export const keyOf = (key) => h("kbd", { "aria-hidden": "true" }, t(`cap ${key}`));

export const buttonSize = { width: 106, height: 34 }; // px
export const reachOf = (step) => reach.get(step);

// A dimension line: from the extension line at (x, y) one way, its head at the far end.
export function arrow(x, y, [right, down], step) {
  const to = reach.get(step), head = 10, half = 3.5, bar = 6;
  const point = (along, aside) => `${x + right * along - down * aside} ${y + down * along + right * aside}`;
  return [s("path", { class: "dimension", d: `M${point(0, 0)}L${point(to, 0)}M${point(to, bar)}L${point(to, -bar)}` }),
    s("path", { class: "arrow-head", d: `M${point(to, 0)}L${point(to - head, half)}L${point(to - head, -half)}Z` })];
}
export const extension = (x1, y1, x2, y2) => s("line", { class: "extension", x1, y1, x2, y2 });

export const standing = (button, { left, top, width }) => styled(button, { left, top, width });

export function moveButton([key, by, words], step, place, able, act) {
  return standing(h("button", { type: "button", class: "move", "aria-keyshortcuts": key, disabled: !able, onclick: () => act(by) },
    keyOf(key), t("stepMm", { n: decimal(step) }), h("span", { class: "unseen" }, ` ${t(words)}`)), place);
}

export const mm = (value) => fixed(value, value < 10 ? 1 : 0);
