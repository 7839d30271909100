// Numbers and times as the reader writes them: German has a comma, and the day first.

import { language } from "/settings.js";

const german = () => language() === "de";

// A hyphen before a figure is a minus.
export const withMinus = (text) => String(text).replace(/(^|[\s(:;])-(?=\.?\d)/g, "$1\u2212");

// Of a text that holds figures: its decimal points. Version numbers and addresses have more than one.
export const decimal = (text) =>
  german() ? withMinus(text).replace(/(?<![\d.])(\d+)\.(\d+)(?!\.?\d)/g, "$1,$2") : withMinus(text);

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

// A day, or a moment to the minute, from ISO 8601 in UTC: "2026-03-31", "2026-03-31T08:15:00Z",
// "2026-03-31 08:15". What stands around it says that it is UTC.
const pattern = /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}:\d{2})(?::\d{2})?(?:\.\d+)?Z?)?$/;
export function moment(iso) {
  const [, year, month, day, time] = pattern.exec(iso) ?? [];
  if (!year) return iso;
  const date = german() ? `${day}.${month}.${year}` : `${year}-${month}-${day}`;
  return time ? `${date} ${time}` : date;
}
export const toMinute = (iso) => moment(iso.slice(0, 16));
