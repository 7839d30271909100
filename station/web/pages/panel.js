// One nest as an engineering drawing: the panel with its keys where they are, the line around it as
// verdict, a strip of ten ticks a key, and a leader from the key that failed.

import { h, s, kindOf } from "/elements.js";
import { hatching, leaderFor, outlinePath, roomAbove, ticksOf } from "/shapes.js";
import { t, lasting } from "/texts.js";
import { keySaid, say } from "/sentences.js";

const edge = { side: 3, top: 3, bottom: 9 }; // mm of paper around the panel

export const aspectOf = (sheet) =>
  (sheet.width_mm + 2 * edge.side) / (sheet.height_mm + edge.top + edge.bottom);

// Keys with y downwards, as SVG counts.
const placed = (sheet) => sheet.keys.map((key) => ({
  name: key.name, kind: key.kind, x: key.x_mm, y: sheet.height_mm - key.y_mm,
  width: key.width_mm, height: key.height_mm,
}));

function keyEdge(key) {
  const box = { x: key.x - key.width / 2, y: key.y - key.height / 2, width: key.width, height: key.height };
  if (key.kind === "wheel")
    return s("ellipse", { class: "edge", cx: key.x, cy: key.y, rx: key.width / 2, ry: key.height / 2 });
  return s("rect", { class: "edge", ...box, rx: key.kind === "proximity" ? 0 : Math.min(2.5, key.height / 4) });
}

function centreLines(key) {
  const over = 1.6, x = key.width / 2 + over, y = key.height / 2 + over;
  return s("path", {
    class: "centre",
    d: `M${key.x - x} ${key.y}h${2 * x}M${key.x} ${key.y - y}v${2 * y}`,
  });
}

function strip(key, margin) {
  const width = Math.min(key.width * 0.86, 40), pitch = width / 10;
  const high = Math.min(key.height * 0.5, 12), left = key.x - width / 2, top = key.y - high / 2;
  if (margin < 0) {
    const d = high * 0.7;
    return [s("path", { class: "cross", d: `M${key.x - d} ${key.y - d}l${2 * d} ${2 * d}m0 ${-2 * d}l${-2 * d} ${2 * d}` })];
  }
  const full = ticksOf(margin);
  return Array.from({ length: 10 }, (_, i) => s("rect", {
    class: i < full ? "tick full" : "tick", x: left + i * pitch, y: top, width: pitch * 0.72, height: high,
  }));
}

// Names stand above their keys, all as large as the tightest place leaves room for.
function nameSize(keys, scale) {
  return Math.min(18 / scale, ...keys.map((key) => {
    const { width, above } = roomAbove(key, keys);
    return Math.min((width * 0.96) / (0.6 * Math.max(key.name.length, 2)), above * 0.85);
  }));
}

const nameOf = (key, size) =>
  s("text", { class: "name", x: key.x, y: key.y - key.height / 2 - size * 0.3, "font-size": size, "stroke-width": size * 0.4 }, key.name);

const keyDrawing = (key, size) =>
  s("g", { class: "key", "data-key": key.name }, centreLines(key), nameOf(key, size), keyEdge(key), s("g", { class: "strip" }));

// The strips as far as they are known: while a unit runs they fill, in a drawing that else stays.
export function fill(drawing, sheet, nest) {
  for (const key of placed(sheet)) {
    const group = drawing.querySelector(`.key[data-key="${CSS.escape(key.name)}"]`);
    const margin = nest.keys.find((one) => one.key === key.name);
    const shown = margin ? `${margin.verdict} ${margin.margin}` : "";
    if (group.dataset.shown === shown) continue;
    group.dataset.shown = shown;
    group.classList.remove("pass", "fail", "inconclusive", "no-verdict");
    if (margin) group.classList.add(kindOf(margin.verdict));
    group.querySelector(".strip").replaceChildren(...(margin ? strip(key, margin.margin ?? -1) : []));
  }
}

// The key that says most about a unit that did not pass.
function worstOf(nest) {
  const bad = nest.keys.filter((key) => key.verdict !== "pass");
  return bad.sort((a, b) => (a.margin ?? -1e9) - (b.margin ?? -1e9))[0];
}

const hatchPitch = 11; // px, so that no drawing turns grey

function outlines(sheet, nest, gap, scale) {
  const d = outlinePath(sheet.width_mm, sheet.height_mm, 5, gap), kind = kindOf(nest.mark);
  const parts = [s("path", { class: `halo ${kind}`, d }), s("path", { class: `outline ${kind}`, d })];
  if (nest.mark === "quarantined") {
    for (const [x1, y1, x2, y2] of hatching(sheet.width_mm, sheet.height_mm, Math.max(4, hatchPitch / scale)))
      parts.unshift(s("line", { class: "hatch-line", x1, y1, x2, y2 }));
  }
  return parts;
}

// Down through the gap, then to where the words stand.
function leader(key, keys, sheet, beside) {
  const { x, points } = leaderFor(key, keys, sheet.height_mm);
  const end = sheet.height_mm + edge.bottom - 1;
  const path = [...points, [x, end]].map((point) => point.join(" ")).join("L");
  return { x, drawing: [
    s("circle", { class: "leader-dot", cx: points[0][0], cy: points[0][1], r: 1 }),
    s("path", { class: "leader", d: `M${path}H${beside ? sheet.width_mm + edge.side : edge.side}` }),
  ] };
}

// The finger's shadow; it glides from key to key.
function fingerOf(sheet) {
  const r = Math.max(sheet.finger_mm / 2, 3);
  return s("g", { class: "finger", visibility: "hidden" },
    s("circle", { class: "shadow", r }), s("circle", { class: "shadow-rim", r }));
}

function progressOf(sheet) {
  const y = sheet.height_mm + 3, width = sheet.width_mm;
  return s("g", { class: "progress", visibility: "hidden" },
    s("line", { class: "way", x1: 0, x2: width, y1: y, y2: y }),
    s("line", { class: "done", x1: 0, x2: width, y1: y, y2: y }));
}

// What moves while a unit runs: finger and progress, in a drawing that else stays.
export function move(drawing, sheet, nest) {
  const finger = drawing.querySelector(".finger"), progress = drawing.querySelector(".progress");
  const running = nest.mark === "running";
  const key = running && sheet.has_finger && placed(sheet).find((one) => one.name === nest.key);
  finger.setAttribute("visibility", key ? "visible" : "hidden");
  if (key) finger.style.transform = `translate(${key.x}px, ${key.y}px)`;
  progress.setAttribute("visibility", running && nest.of > 1 ? "visible" : "hidden");
  progress.lastChild.style.transform = `scaleX(${nest.of ? Math.min(nest.done / nest.of, 1) : 0})`;
}

// A nest as it is drawn: what runs or waits in it, or the last unit until the next one comes.
export function draw(sheet, nest, scale, beside = false) {
  const keys = placed(sheet), size = nameSize(keys, scale);
  const worst = nest.mark === "pass" ? undefined : worstOf(nest);
  const troubled = nest.mark === "fail" && worst ? keys.find((key) => key.name === worst.key) : undefined;
  const line = troubled && leader(troubled, keys, sheet, beside);
  const gap = line && { from: line.x - 7, to: line.x + 7 };
  const box = [-edge.side, -edge.top, sheet.width_mm + 2 * edge.side, sheet.height_mm + edge.top + edge.bottom];
  const drawing = s("svg", { viewBox: box.join(" "), "aria-hidden": "true" },
    ...outlines(sheet, nest, gap, scale), ...keys.map((key) => keyDrawing(key, size)),
    ...(line ? line.drawing : []), fingerOf(sheet), progressOf(sheet));
  fill(drawing, sheet, nest);
  return drawing;
}

export function wordOf(nest) {
  if (nest.mark !== "running") return t(nest.mark);
  if (nest.question) return t("asks");
  return nest.waits_for ? t("inTurn") : lasting(nest.left_ms);
}

export function noteOf(nest) {
  if (nest.mark === "running") {
    if (nest.waits_for) return `${nest.step}, ${t("waitsFor", { what: say(nest.waits_for) })}`;
    const key = nest.key ? `, ${t("key")} ${nest.key}` : "";
    const part = nest.of > 1 ? ` · ${t("progress", nest)}` : "";
    return `${nest.step}${key}${part}`;
  }
  if (nest.mark === "waiting") return "";
  // What comes after a unit that passed is the one sentence's to say.
  const act = nest.sentence === "Scan the next unit." ? "" : nest.sentence;
  return [nest.reason, act === nest.reason ? "" : act].filter(Boolean).map(say).join(" ");
}

// In words, for who does not see the drawing.
export function inWords(sheet, nest) {
  const lines = nest.keys.map((key) => keySaid(key));
  const head = t("panelOf", { product: sheet.product, serial: nest.serial, word: t(`mark ${nest.mark}`) });
  return [head, ...lines].join(" ");
}
