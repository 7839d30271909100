// The lot as a tape: a mark a unit, in the order they came, with the line types of the drawings in
// miniature; and what the marks add up to.

import { h, s, kindOf } from "/elements.js";
import { t } from "/texts.js";
import "/charts/marks.js";

const tall = 26;
const { group, pathOf, pitchFor, placesOf } = globalThis.padtrimMarks;

export const markAt = (mark, x) => s("path", { class: `mark ${kindOf(mark)}`, d: pathOf(mark, x, 4, tall) });

// As many of the newest marks as fit; whole groups of ten leave on the left.
export function tapeOf(state, width) {
  const pitch = pitchFor(state.tape.length, width - 160);
  const most = Math.floor((width - 140) / (10 * pitch + group)) * 10;
  const before = state.marks - state.tape.length;
  const drop = state.tape.length > most ? Math.ceil((state.tape.length - most) / 10) * 10 : 0;
  const shown = state.tape.slice(drop), xs = placesOf(shown.length, pitch);
  const marks = shown.map((unit, i) => {
    const mark = markAt(unit.mark, xs[i]);
    const name = s("title", {}, `${unit.serial} · ${t("nest", { n: unit.nest })} · ${t(`mark ${unit.mark}`)}`);
    const place = s("rect", { class: "place", x: xs[i] - pitch / 2, y: 0, width: pitch, height: 34 });
    return unit.serial
      ? s("a", { href: `/unit?serial=${encodeURIComponent(unit.serial)}`, tabindex: "-1" }, name, place, mark)
      : s("g", {}, name, place, mark);
  });
  const earlier = before + drop;
  const note = earlier > 0
    ? s("text", { class: "earlier", x: (xs.at(-1) ?? 0) + 14, y: 22, "font-size": 14 }, t("earlier", { n: earlier }))
    : null;
  return s("svg", { role: "group", "aria-label": t("tape") }, ...marks, note);
}

export function countOf(state) {
  const running = state.nests.filter((nest) => nest.mark === "running").length;
  const count = { ...state.count, loaded: state.count.loaded + running };
  const apart = state.quarantined ? t("countQuarantined", { n: state.quarantined }) : "";
  return t("count", count) + (running ? t("countRunning", { n: running }) : "") + apart;
}

const usual = ["pass", "fail", "inconclusive", "no verdict", "quarantined", "running"];
const rare = ["removed", "paused"];

export function legendOf(state) {
  const there = (mark) => state.tape.some((unit) => unit.mark === mark);
  return [...usual, ...rare.filter(there)].map((mark) =>
    h("span", {}, s("svg", { viewBox: "0 0 14 34", "aria-hidden": "true" }, markAt(mark, 7)), t(`mark ${mark}`)));
}
