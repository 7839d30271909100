// The section beside the plan view: bed, panel under its overlay, safe height, and the finger's tip
// over them, with its moves up and down.

import { s } from "/elements.js";
import { decimal } from "/local.js";
import { t } from "/texts.js";
import { hatch } from "/plan_view.js";
import { arrow, buttonSize, extension, moveButton, moves } from "/moves.js";

const upright = moves.filter(([, by]) => by[2] !== 0);
const paper = { top: 68, bottom: 34, left: 8 }; // px

function layers(panel, finger, y, wide) {
  const { surface_height_mm: surface } = finger, under = Math.max(0, surface - panel.overlay_mm), right = wide - 8;
  const band = (name, from, to) => s("rect", { class: name, x: paper.left, y: y(to), width: right - paper.left, height: Math.max(2, y(from) - y(to)) });
  const line = (name, z) => s("line", { class: name, x1: paper.left, x2: right, y1: y(z), y2: y(z) });
  const words = (text, z, rise = -5) => s("text", { class: "height-text", x: paper.left, y: y(z) + rise }, text);
  return [band("bed-cut", -3, 0), band("panel-cut", 0, under), band("overlay-cut", under, surface), line("height", surface), line("height safe", finger.safe_height_mm), line("height", finger.travel_z_mm),
    words(t("surfaceHeight", { n: decimal(surface) }), surface), words(t("safeHeight", { n: decimal(finger.safe_height_mm) }), finger.safe_height_mm), words(t("topHeight", { n: decimal(finger.travel_z_mm) }), finger.travel_z_mm)];
}

function rod(x, tip, top, how) {
  const half = 9;
  return s("g", { class: how === "known" ? "tip" : `tip ${how}` },
    s("path", { class: "tip-disc", d: `M${x - half} ${top}V${tip - half}a${half} ${half} 0 0 0 ${2 * half} 0V${top}`, fill: how === "known" ? "url(#rod-hatch)" : "none" }),
    how === "unknown" ? s("text", { class: "tip-doubt", x, y: tip - 14 }, "?") : null);
}

const aside = 26, buttonWidth = 156; // px

export function sectionView(panel, sheet, place, last, act, room) {
  const { finger } = sheet, seen = place ?? last, how = place ? "known" : last ? "was" : "unknown", { height } = buttonSize;
  const y = (z) => room.height - paper.bottom - (z / finger.travel_z_mm) * (room.height - paper.top - paper.bottom);
  const x = 110, tip = y(seen ? seen.z_mm : (finger.safe_height_mm + finger.travel_z_mm) / 2), edge = x + aside;
  const svg = s("svg", { viewBox: `0 0 ${room.width} ${room.height}`, width: room.width, height: room.height, role: "img", "aria-label": t("section") }, hatch("rod-hatch"), hatch("cut-hatch"),
    ...layers(panel, finger, y, room.width), rod(x, tip, 4, how), extension(x, tip, edge + 8, tip));
  const places = [tip - height - 2, tip + 2].map((top) => ({ left: edge + 12, top, width: Math.min(buttonWidth, room.width - edge - 14), height }));
  return [svg, ...upright.map((move, i) => {
    svg.append(...arrow(edge, tip, [0, -move[1][2]], act.step));
    return moveButton(move, act.step, places[i], act.able, act.by);
  })];
}
