// Where the finger stands: its travel from above with the panels that lie in it, and beside it its
// height. Millimetres, y towards the back.

import { h, s } from "/elements.js";
import { decimal, fixed } from "/local.js";
import { t } from "/texts.js";

const short = (mm) => fixed(mm, 2);

function panelAt(panel, nest, high, chosen) {
  const group = s("g", { transform: `translate(${nest.origin_x_mm} ${high - nest.origin_y_mm - panel.height_mm})` },
    s("rect", { class: "outline waiting", width: panel.width_mm, height: panel.height_mm, rx: 5 }),
    s("text", { class: "nest-name", x: 0, y: -4 }, t("nest", { n: nest.nest })));
  for (const key of panel.keys)
    group.append(s("rect", {
      class: chosen?.nest === nest.nest && chosen.key === key.name ? "pad chosen" : "pad",
      "data-nest": nest.nest, "data-key": key.name, x: key.x_mm - key.width_mm / 2, y: panel.height_mm - key.y_mm - key.height_mm / 2,
      width: key.width_mm, height: key.height_mm, rx: key.kind === "wheel" ? key.width_mm / 2 : 2,
    }, s("title", {}, key.name)));
  return group;
}

function fingerAt(place, finger, high, known = true) {
  const r = finger.diameter_mm / 2, arm = r + (known ? 10 : 26), x = place.x_mm, y = high - place.y_mm;
  return s("g", { class: known ? "tip" : "tip was", transform: `translate(${x} ${y})` },
    s("circle", { class: "shadow", r: Math.max(r, 4) }), s("circle", { class: "shadow-rim", r: Math.max(r, 4) }),
    s("path", { class: "way", d: `M${-arm} 0h${2 * arm}M0 ${-arm}v${2 * arm}` }));
}

// The upright scale: the bed, the panel's surface, the safe height, and the tip.
function heights(finger, place) {
  const high = 200, wide = 150, y = (mm) => high - 10 - (mm / finger.travel_z_mm) * (high - 20);
  const svg = s("svg", { class: "heights", viewBox: `0 0 ${wide} ${high}`, "aria-hidden": "true" },
    s("line", { class: "rod", x1: 40, x2: 40, y1: y(0), y2: y(finger.travel_z_mm) }));
  for (const [mm, words, dashed] of [[0, "0", false], [finger.surface_height_mm, t("surfaceHeight", { n: decimal(finger.surface_height_mm) }), false],
    [finger.safe_height_mm, t("safeHeight", { n: decimal(finger.safe_height_mm) }), true], [finger.travel_z_mm, decimal(finger.travel_z_mm), false]])
    svg.append(s("line", { class: dashed ? "mark dashed" : "mark", x1: 30, x2: 56, y1: y(mm), y2: y(mm) }),
      s("text", { class: "score-text", x: 62, y: y(mm) + 5 }, words));
  if (place) svg.append(s("path", { class: "leader-dot tip-mark", d: `M12 ${y(place.z_mm) - 7}l22 7l-22 7z` }));
  return svg;
}

// `last`: where it stood while it was in somebody's hand, drawn dotted when nobody knows better.
export function travelOf(panel, sheet, place, chosen, last = null) {
  const { finger } = sheet, wide = finger.travel_x_mm, high = finger.travel_y_mm;
  const svg = s("svg", { class: "above", viewBox: `-6 -14 ${wide + 12} ${high + 20}`, role: "img", "aria-label": t("travel") },
    s("rect", { class: "bed", width: wide, height: high }), ...sheet.nests.map((nest) => panelAt(panel, nest, high, chosen)));
  svg.style.setProperty("--letter", `${Math.round(wide / 56)}px`);
  if (place ?? last) svg.append(fingerAt(place ?? last, finger, high, Boolean(place)));
  return h("div", { class: "travel" }, svg, heights(finger, place));
}

const coordinates = (place) => ({ x: short(place.x_mm), y: short(place.y_mm), z: short(place.z_mm) });
export const placeText = (place) =>
  place ? t("fingerAt", coordinates(place)) : t("fingerUnknown");
export const lastPlaceText = (place) => (place ? t("lastKnown", coordinates(place)) : "");
