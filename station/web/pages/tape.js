// The lot as a tape: a mark a unit, in the order they came, with the line types of the drawings in
// miniature; and what the marks add up to.

import { h, s, kindOf } from "/elements.js";
import { t } from "/texts.js";

const tall = 26, group = 6;
const pitchFor = (count, width) => [18, 13, 9].find((pitch) => count * pitch + (count / 10) * group < width - 160) ?? 9;

export function markAt(mark, x) {
  const line = (d) => s("path", { class: `mark ${kindOf(mark)}`, d });
  const y = 4, bottom = y + tall;
  switch (mark) {
    case "fail": return line(`M${x - 4} ${y + 5}l8 ${tall - 10}m0 ${10 - tall}l-8 ${tall - 10}`);
    case "running": return line(`M${x - 3} ${y}h6M${x} ${y}v${tall}`);
    case "quarantined": return line(`M${x - 3} ${y}h6v${tall}h-6zM${x - 3} ${y + 9}l6 -6m-6 12l6 -6m-6 12l6 -6`);
    case "removed": return line(`M${x - 3} ${y + tall / 2}a3 3 0 1 0 6 0a3 3 0 1 0 -6 0`);
    case "paused": return line(`M${x - 2} ${y}v${tall}m4 0v${-tall}`);
    default: return line(`M${x} ${y}V${bottom}`);
  }
}

const places = (count, pitch) => Array.from({ length: count }, (_, i) => 8 + i * pitch + Math.floor(i / 10) * group);

// As many of the newest marks as fit; whole groups of ten leave on the left.
export function tapeOf(state, width) {
  const pitch = pitchFor(state.tape.length, width);
  const most = Math.floor((width - 140) / (10 * pitch + group)) * 10;
  const before = state.marks - state.tape.length;
  const drop = state.tape.length > most ? Math.ceil((state.tape.length - most) / 10) * 10 : 0;
  const shown = state.tape.slice(drop), xs = places(shown.length, pitch);
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
