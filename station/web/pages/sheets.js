// The quality sheets: address, what their question can be narrowed to, and the calls that answer it.
// Fields have the names of the command line; what the address says goes into the call as it stands.

const period = ["since", "until"];
const runs = ["lot", ...period, "station", "product", "recipe", "revision", "nest", "drafts"];
const place = ["check", "key"];

export const sheets = [
  { name: "overview", path: "/quality", fields: ["lot", "station", "product", "recipe", "nest", "check"], calls: ["overview"] },
  { name: "yield", path: "/yield", fields: ["by", ...runs], calls: ["yield", "failures"] },
  { name: "capability", path: "/capability", fields: [...place, "low", "high", ...runs], calls: ["capability", "capability?as-left=yes"] },
  { name: "chart", path: "/chart", fields: [...place, "as-left", "kind", "baseline", "anew", ...runs, "all"], calls: ["chart"] },
  { name: "drift", path: "/drift", fields: [...place, "as-left", "risk", ...runs], calls: ["drift"] },
  { name: "gauge", path: "/gauge", fields: ["lot", ...place, "appraisers", "type-1", "reference", "calibration", "station"], calls: ["gauge-steps", "gauge"] },
  { name: "doubt", path: "/in-doubt", fields: ["station", "fixture", "episode"], calls: ["in-doubt"] },
  { name: "dispositions", path: "/dispositions", fields: ["which", ...runs], calls: ["dispositions"] },
  { name: "sampling", path: "/sampling", fields: ["product", "step"], calls: ["sampling"] },
  { name: "trace", path: "/trace", fields: ["relay", "step", "fixture", ...runs], calls: ["trace"] },
  { name: "audit", path: "/audit", fields: [...period, "who"], calls: ["audit"] },
];
// Calls take fewer filters than sheets have fields.
const notOf = { chart: ["all"], failures: ["by"], "gauge-steps": ["appraisers", "type-1", "reference", "calibration", ...place] };

export const choicesOf = {
  by: ["lot", "day", "shift-of-day", "month", "shift", "nest", "station", "product", "recipe"],
  kind: ["individuals", "means-and-ranges", "means-and-deviations", "weighted", "sums", "share", "occurrences"],
  which: ["waiting", "quarantined", "undecided", "rework", "scrap", "released"],
  appraisers: ["nest", "station"],
};
export const flags = ["drafts", "as-left", "type-1", "anew", "all"];
// Limits to try are those of one check: without one, or with another one, they are nothing.
export const ofCheck = ["low", "high"];
// Shown when they are set, or when a person wants every field.
export const rare = ["product", "recipe", "revision", "drafts", "fixture", "baseline", "anew", "all", "risk", "appraisers", "type-1", "reference", "calibration"];
export const moments = ["since", "until"];
export const numbers = ["low", "high", "baseline", "risk", "reference", "calibration", "relay"];

export const sheetNamed = (name) => sheets.find((sheet) => sheet.name === name);

// The address of a sheet with those filters of `from` that it takes, and `more`.
export function addressOf(sheet, from, more = {}) {
  const query = new URLSearchParams();
  const otherCheck = "check" in more && more.check !== from.get("check");
  for (const field of sheet.fields) {
    const value = field in more ? more[field] : from.get(field);
    if (ofCheck.includes(field) && (otherCheck || !query.get("check"))) continue;
    if (value) query.set(field, value);
  }
  const words = query.toString();
  return sheet.path + (words ? `?${words}` : "");
}

// What the address says of the fields that a call of the sheet takes.
export const fieldsOf = (path, sheet, from) => Object.fromEntries(
  sheet.fields.filter((field) => from.get(field) && !(notOf[path] ?? []).includes(field)).map((field) => [field, from.get(field)]));

// A call of a sheet under the filters of the address.
export function callOf(call, sheet, from, more = {}) {
  const [path, own] = call.split("?"), query = new URLSearchParams(own);
  for (const [field, value] of Object.entries(fieldsOf(path, sheet, from))) query.set(field, value);
  for (const [name, value] of Object.entries(more)) query.set(name, value);
  return `/api/quality/${path}?${query}`;
}
