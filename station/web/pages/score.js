// A plan as a score: one line a resource, and one a nest. Notes on a line are what the plan does with
// it; the first nest's are filled, those of the others, which follow as close as can be, are open.
// Steps have item numbers in balloons, as parts have on a drawing (ISO 6433). The thin line is the
// floor that physics sets. Within a step notes stand one after the other.

import { h, s } from "/elements.js";
import { fixed } from "/local.js";
import { t } from "/texts.js";

// What a unit's time is spent on, by the resource that it takes.
const resources = { finger: ["finger"], relays: ["power", "settling"], bus: ["talk"], quiet: ["scanning"], waiting: ["waiting"] };
const left = 150, right = 24, line = 30, top = 30, letter = 7.6; // px
const seconds = (ms) => fixed(ms / 1000, 2);
const text = (content, attributes) => s("text", { class: "score-text", ...attributes }, content);
const bar = (attributes, words) => s("rect", attributes, s("title", {}, words));

// Of one unit: { line, from, to, words } for what each step takes of each line.
function barsOf(steps, lines) {
  return steps.flatMap((step) => {
    let at = step.begins_ms;
    return lines.flatMap((name) => resources[name].flatMap((work) => {
      const ms = step.spent_ms[work], from = at;
      if (ms <= 0) return [];
      at += ms;
      return [{ line: name, work, from, to: at, words: `${step.step}, ${t(`spent ${work}`)}: ${seconds(ms)} s` }];
    }));
  });
}

// Numbers of steps above the first nest's bar, with the name where there is room for it: each as low
// as leaves it clear of the one before.
const levels = 3, level = 22, balloon = 10; // px
function stepMarks(steps, x, y) {
  const ends = Array(levels).fill(-1e9);
  return steps.flatMap((step, i) => {
    const from = x(step.begins_ms), to = x(step.begins_ms + step.expected_ms), name = `${i + 1} ${step.step}`;
    const wide = to - from > name.length * letter + 24, middle = (from + to) / 2, half = wide ? (name.length * letter) / 2 + 12 : balloon + 1;
    const free = ends.findIndex((end) => end < middle - half), up = free < 0 ? levels - 1 : free, centre = y - 12 - up * level;
    ends[up] = middle + half;
    const at = wide ? middle - half + balloon : middle;
    return [s("line", { class: "score-step", x1: from, x2: from, y1: y + 6, y2: y + 26 }),
      s("line", { class: "score-leader", x1: at, x2: at, y1: centre + balloon, y2: y + 9 }), s("circle", { class: "score-balloon", cx: at, cy: centre, r: balloon }),
      text(String(i + 1), { x: at, y: centre + 4.5, "text-anchor": "middle" }), wide ? text(step.step, { x: at + balloon + 5, y: centre + 4.5 }) : null].filter(Boolean);
  });
}

const legendOf = (steps) => h("ol", { class: "score-legend" }, ...steps.map((step) =>
  h("li", {}, h("b", {}, step.step), ` ${t("stepTakes", { time: seconds(step.expected_ms), floor: seconds(step.floor_ms) })}`)));

export function scoreOf(plan, width) {
  const steps = plan.steps.filter((one) => one.counted && one.expected_ms > 0);
  const lines = Object.keys(resources).filter((name) => resources[name].some((work) => plan.spent_ms[work] > 0));
  // Units follow each other as the plan's pace has it; with one nest there is one unit.
  const pace = plan.units_per_hour > 0 ? 3.6e6 / plan.units_per_hour : plan.expected_ms, shift = (nest) => nest * pace;
  const whole = shift(plan.nests - 1) + plan.expected_ms;
  const wide = width - left - right, x = (ms) => left + (ms / whole) * wide, y = (row) => top + row * line;
  const nestsAt = y(lines.length) + levels * level + 6, floorAt = nestsAt + plan.nests * line + 24, height = floorAt + 40;
  const svg = s("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": t("score") });
  const under = (words, at) => svg.append(text(words, { x: 0, y: at + 29 }), s("line", { class: "score-line", x1: left, x2: width - right, y1: at + 24, y2: at + 24 }));
  lines.forEach((name, row) => under(t(`line ${name}`), y(row)));
  const bars = barsOf(steps, lines);
  for (let nest = plan.nests - 1; nest >= 0; --nest) {
    const by = shift(nest), at = nestsAt + nest * line;
    under(t("nest", { n: nest + 1 }), at);
    for (const one of bars) {
      const from = x(by + one.from);
      svg.append(bar({ class: `score-bar ${one.work}${nest ? " later" : ""}`, x: from, y: y(lines.indexOf(one.line)) + 17, rx: 4, width: Math.max(2, x(by + one.to) - from), height: 14 }, `${t("nest", { n: nest + 1 })}: ${one.words}`));
    }
    svg.append(bar({ class: nest ? "score-bar nest later" : "score-bar nest", x: x(by), y: at + 16, rx: 8, width: x(by + plan.expected_ms) - x(by), height: 16 }, t("nest", { n: nest + 1 })));
  }
  svg.append(...stepMarks(steps, x, nestsAt + 3));
  svg.append(text(t("floor"), { x: 0, y: floorAt + 5 }));
  for (const step of steps) svg.append(s("line", { class: "score-floor", x1: x(step.begins_ms), x2: x(step.begins_ms + step.floor_ms), y1: floorAt, y2: floorAt }));
  const unit = [1, 2, 5, 10, 20, 60].find((one) => (whole / 1000 / one) * 60 < wide) ?? 300;
  for (let at = 0; at * 1000 <= whole; at += unit) svg.append(text(`${at} s`, { x: x(at * 1000), y: height - 8, "text-anchor": "middle" }));
  return h("div", { class: "score" }, svg, legendOf(steps));
}
