// One run as tables: every check with value, limits and margin, and the raw counts on demand.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { say } from "/sentences.js";

const row = (...cells) => h("tr", {}, ...cells);
const cell = (text, figure) => h("td", { class: figure ? "figure" : null }, text);
export const table = (heads, rows) => h("div", { class: "wide", tabindex: "0" },
  h("table", {}, h("thead", {}, row(...heads.map((head) => h("th", { scope: "col" }, head)))), h("tbody", {}, ...rows)));
const figure = (value, digits = 4) => (value === null ? "–" : Number(value.toPrecision(digits)).toString());

function limits(check) {
  if (check.low !== null && check.high !== null) return `${figure(check.low)} – ${figure(check.high)}`;
  if (check.low !== null) return `≥ ${figure(check.low)}`;
  return check.high === null ? "" : `≤ ${figure(check.high)}`;
}

const checksOf = (run) => table(
  [t("step"), t("worst"), t("key"), t("value"), t("uncertainty"), t("limits"), t("margin"), t("verdict")],
  run.result.checks.map((check) => row(cell(check.step), cell(check.check), cell(check.key), cell(`${figure(check.value, 5)} ${check.unit === "1" ? "" : check.unit}`, true),
    cell(`± ${figure(check.expanded_uncertainty, 2)}`, true), cell(limits(check), true), cell(figure(check.margin, 3), true), cell(t(`mark ${check.verdict}`)))));

const held = (readings) => [
  readings.reference || t("allOpen"), readings.channels.length ? `ch ${readings.channels.join(" ")}` : "",
  readings.finger ? `${t("finger")} ${readings.finger.key} z ${figure(readings.finger.z_mm)} mm` : "", readings.reading === "corrected" ? t("corrected") : "",
].filter(Boolean).join(", ");

const rawOf = (seen) => table([t("step"), t("held"), t("at"), t("counts")],
  seen.readings.flatMap((readings) => readings.scans.map((scan) =>
    row(cell(readings.step), cell(held(readings)), cell(`${figure(scan.at_ms, 7)} ms`, true), cell(scan.counts.join("  "))))));

function rawDetails(run) {
  const details = h("details", {}, h("summary", {}, t("raw")));
  details.addEventListener("toggle", async () => {
    if (!details.open || details.children.length > 1) return;
    try {
      details.append(rawOf(await ask(`/api/observations?run=${run.run}`)));
    } catch (trouble) {
      details.append(h("p", {}, say(trouble.message)));
    }
  });
  return details;
}

export const runSection = (run) => h("section", { class: "run" },
  h("h2", {}, `${t("run", { n: run.run })}: ${t(`mark ${run.verdict}`)}, ${t(`to ${run.disposition}`)}`),
  h("p", {}, [`${t("lot")} ${run.lot}`, run.station, t("nest", { n: run.nest }), `${run.recipe} ${run.recipe_revision}`, run.started.slice(0, 19)].join(" · ")),
  h("p", {}, [run.reason, say(run.next_step)].filter(Boolean).join(" ")), checksOf(run), rawDetails(run));
