// A plan as a score: one line a resource, bars are what the plan does, the thin line below is the
// floor that physics sets. Within a step bars stand one after the other.

import { s } from "/elements.js";
import { fixed } from "/local.js";
import { t } from "/texts.js";

const resources = ["power", "settling", "finger", "scanning", "talk", "waiting"];
const left = 110, right = 20, line = 34, top = 84;

const bar = (attributes, words) => s("rect", attributes, s("title", {}, words));

export function scoreOf(plan, width) {
  const used = resources.filter((name) => plan.spent_ms[name] > 0);
  const wide = width - left - right, x = (ms) => left + (ms / plan.expected_ms) * wide;
  const height = top + (used.length + 1) * line + 30;
  const svg = s("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": t("score") });
  const text = (content, attributes) => s("text", { class: "score-text", ...attributes }, content);
  used.forEach((name, i) => {
    const y = top + i * line;
    svg.append(text(t(`spent ${name}`), { x: 0, y: y + 16 }), s("line", { class: "score-line", x1: left, x2: width - right, y1: y + 24, y2: y + 24 }));
  });
  const floorAt = top + used.length * line + 12;
  svg.append(text(t("floor"), { x: 0, y: floorAt + 5 }));
  let lastLabel = -1e9;
  for (const step of plan.steps.filter((one) => one.counted && one.expected_ms > 0)) {
    const begin = step.begins_ms, wideEnough = x(begin) - lastLabel > 22;
    svg.append(s("line", { class: "score-step", x1: x(begin), x2: x(begin), y1: top - 6, y2: height - 22 }));
    if (wideEnough || step.expected_ms / plan.expected_ms > 0.05) {
      lastLabel = x(begin);
      svg.append(text(step.step, { transform: `translate(${x(begin) + 4} ${top - 10}) rotate(-24)` }));
    }
    let at = begin;
    used.forEach((name, i) => {
      const ms = step.spent_ms[name];
      if (ms <= 0) return;
      const words = `${step.step}, ${t(`spent ${name}`)}: ${fixed(ms / 1000, 2)} s`;
      svg.append(bar({ class: `score-bar ${name}`, x: x(at), y: top + i * line + 4, width: Math.max(1, x(at + ms) - x(at)), height: 18 }, words));
      at += ms;
    });
    svg.append(s("line", { class: "score-floor", x1: x(begin), x2: x(begin + step.floor_ms), y1: floorAt, y2: floorAt }));
  }
  const unit = plan.expected_ms > 40000 ? 10 : plan.expected_ms > 8000 ? 5 : 1;
  for (let seconds = 0; seconds * 1000 <= plan.expected_ms; seconds += unit)
    svg.append(text(`${seconds} s`, { x: x(seconds * 1000), y: height - 4, "text-anchor": "middle" }));
  return svg;
}
