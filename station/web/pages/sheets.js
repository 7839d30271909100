// The quality sheets: address, what their question can be narrowed to, and the calls that answer it.
// Fields have the names of the command line; what the address says goes into the call as it stands.

const period = ["since", "until"];
const runs = ["lot", ...period, "station", "product", "recipe", "revision", "nest", "drafts"];
const place = ["check", "key"];

export const sheets = [
  { name: "overview", path: "/quality", fields: ["lot", "station", "product", "recipe", "nest", "check"], calls: ["overview"] },
  { name: "yield", path: "/yield", fields: ["by", ...runs], calls: ["yield", "failures"] },
  { name: "capability", path: "/capability", fields: [...place, ...runs], calls: ["capability", "capability?as-left=yes"] },
  { name: "chart", path: "/chart", fields: [...place, "as-left", "kind", "baseline", "anew", ...runs], calls: ["chart"] },
  { name: "drift", path: "/drift", fields: [...place, "as-left", "risk", ...runs], calls: ["drift"] },
  { name: "gauge", path: "/gauge", fields: ["lot", ...place, "appraisers", "type-1", "reference", "calibration", "station"], calls: ["gauge-steps", "gauge"] },
  { name: "doubt", path: "/in-doubt", fields: ["station", "fixture"], calls: ["in-doubt"] },
  { name: "dispositions", path: "/dispositions", fields: ["which", ...runs], calls: ["dispositions"] },
  { name: "trace", path: "/trace", fields: ["relay", "step", "fixture", ...runs], calls: ["trace"] },
];
// Calls take fewer filters than sheets have fields.
const notOf = { failures: ["by"], "gauge-steps": ["appraisers", "type-1", "reference", "calibration", ...place] };

export const choicesOf = {
  by: ["lot", "day", "shift-of-day", "month", "shift", "nest", "station", "product", "recipe"],
  kind: ["individuals", "means-and-ranges", "means-and-deviations", "weighted", "sums", "share", "occurrences"],
  which: ["waiting", "quarantined", "undecided", "rework", "scrap", "released"],
  appraisers: ["nest", "station"],
};
export const flags = ["drafts", "as-left", "type-1", "anew"];
// Shown when they are set, or when a person wants every field.
export const rare = ["product", "recipe", "revision", "drafts", "fixture", "baseline", "anew", "risk", "appraisers", "type-1", "reference", "calibration"];
export const moments = ["since", "until"];
export const numbers = ["baseline", "risk", "reference", "calibration", "relay"];

export const sheetNamed = (name) => sheets.find((sheet) => sheet.name === name);

// The address of a sheet with those filters of `from` that it takes, and `more`.
export function addressOf(sheet, from, more = {}) {
  const query = new URLSearchParams();
  for (const field of sheet.fields) {
    const value = field in more ? more[field] : from.get(field);
    if (value) query.set(field, value);
  }
  const words = query.toString();
  return sheet.path + (words ? `?${words}` : "");
}

// A call of a sheet under the filters of the address.
export function callOf(call, sheet, from, more = {}) {
  const [path, own] = call.split("?"), query = new URLSearchParams(own);
  for (const field of sheet.fields) {
    if (from.get(field) && !(notOf[path] ?? []).includes(field)) query.set(field, from.get(field));
  }
  for (const [name, value] of Object.entries(more)) query.set(name, value);
  return `/api/quality/${path}?${query}`;
}
