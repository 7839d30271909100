// Numbers and times as the reader writes them: German has a comma, and the day first.

import { language } from "/settings.js";

const german = () => language() === "de";

// Of a text that holds figures: its decimal points. Version numbers and addresses have more than one.
export const decimal = (text) =>
  german() ? String(text).replace(/(?<![\d.])(\d+)\.(\d+)(?!\.?\d)/g, "$1,$2") : String(text);

export const fixed = (value, places) => decimal(value.toFixed(places));
// As short as the digits allow: 0.25 and not 0.2500.
export const precise = (value, digits) => decimal(Number(value.toPrecision(digits)).toString());

// A value and its uncertainty: that to two significant digits, the value to the same place (JCGM 100,
// 7.2.6). As texts: [value, uncertainty].
export function measured(value, doubt) {
  if (!(doubt > 0)) return [precise(value, 4), decimal(doubt)];
  const places = 1 - Number(doubt.toExponential(1).split("e")[1]), coarse = 10 ** Math.max(0, -places);
  return [value, doubt].map((one) => fixed(coarse > 1 ? Math.round(one / coarse) * coarse : one, Math.max(0, places)));
}

// A day, or a moment in UTC, from ISO 8601: "2026-03-31", "2026-03-31T08:15:00Z", "2026-03-31 08:15Z".
const pattern = /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}:\d{2}(?::\d{2})?)(?:\.\d+)?(Z?))?$/;
export function moment(iso) {
  const [, year, month, day, time, utc] = pattern.exec(iso) ?? [];
  if (!year) return iso;
  if (!german()) return iso;
  return `${day}.${month}.${year}${time ? ` ${time}${utc}` : ""}`;
}
export const toMinute = (iso) => moment(`${iso.slice(0, 16).replace("T", " ")}Z`);
export const toSecond = (iso) => moment(`${iso.slice(0, 19).replace("T", " ")}Z`);
