// One run as tables: every check with value, limits and margin, and the raw counts on demand.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { decimal, fixed, precise, toMinute } from "/local.js";
import { inWords, keySaid, spoken } from "/sentences.js";
import { NestFigure } from "/nest.js";

const row = (...cells) => h("tr", {}, ...cells);
const cell = (text, figure) => h("td", { class: figure ? "figure" : null }, text);
export const table = (heads, rows) => h("div", { class: "wide", tabindex: "0" },
  h("table", {}, h("thead", {}, row(...heads.map((head) => h("th", { scope: "col" }, head)))), h("tbody", {}, ...rows)));
const figure = (value, digits = 4) => (value === null ? "–" : precise(value, digits));

function limits(check) {
  if (check.low !== null && check.high !== null) return `${figure(check.low)} – ${figure(check.high)}`;
  if (check.low !== null) return `≥ ${figure(check.low)}`;
  return check.high === null ? "" : `≤ ${figure(check.high)}`;
}

const written = (check) => (check.value === null ? "–" : decimal(check.written));

// Worst first: what failed, then by margin. A row that did not pass is marked by a bar and its word.
const badness = (check) => ["fail", "no verdict", "inconclusive", "pass"].indexOf(check.verdict);
const worstFirst = (checks) => [...checks].sort((a, b) => badness(a) - badness(b) || (a.margin ?? -1e9) - (b.margin ?? -1e9));
const wordFor = (check) => h("td", { class: check.verdict === "pass" ? null : "not-passed" }, t(check.verdict === "pass" ? "mark pass" : check.verdict));

const checksOf = (run) => table(
  [t("verdict"), t("margin"), t("step"), t("worst"), t("keyHead"), t("value"), t("limits")],
  worstFirst(run.result.checks).map((check) => row(wordFor(check), cell(figure(check.margin, 3), true), cell(check.step), cell(inWords(check.check)), cell(check.key), cell(written(check), true), cell(limits(check), true))));

// The panel as it was left, and which check of which key was nearest to its limit.
function drawingOf(run, panel) {
  if (panel?.product !== run.product) return h("p", {}, ...spoken(run.reason, run.next_step));
  const figure = new NestFigure();
  figure.show(panel, { ...run, sentence: run.next_step, to_confirm: false, left_ms: 0, of: 0 }, 640);
  return figure.element;
}
const nearestOf = (run) => h("ol", { class: "nearest" }, ...worstFirst(run.keys).slice(0, 5).map((key) =>
  h("li", { class: key.verdict === "pass" ? null : "not-passed" }, h("b", {}, key.margin === null ? "–" : fixed(key.margin, 2)), ` ${keySaid(key)}`,
    key.verdict === "pass" ? "" : ` (${t(key.verdict)})`)));

const held = (readings) => [
  readings.reference || t("allOpen"), readings.channels.length ? `ch ${readings.channels.join(" ")}` : "",
  readings.finger ? `${t("finger")} ${readings.finger.key} z ${figure(readings.finger.z_mm)} mm` : "", readings.reading === "corrected" ? t("corrected") : "",
].filter(Boolean).join(", ");

const rawOf = (seen) => table([t("step"), t("held"), t("at"), t("counts")],
  seen.readings.flatMap((readings) => readings.scans.map((scan) =>
    row(cell(readings.step), cell(held(readings)), cell(`${figure(scan.at_ms, 7)} ms`, true), cell(scan.counts.join("  "))))));

function rawDetails(run) {
  const details = h("details", { class: "raw" }, h("summary", {}, t("raw")));
  details.addEventListener("toggle", async () => {
    if (!details.open || details.children.length > 1) return;
    try {
      details.append(rawOf(await ask(`/api/observations?run=${run.run}`)));
    } catch (trouble) {
      details.append(h("p", {}, ...spoken(trouble.message)));
    }
  });
  return details;
}

const allChecks = (run) => h("details", { class: "checks" }, h("summary", {}, t("allChecks", { n: run.result.checks.length })), checksOf(run));

// `panel`: of /api/panel; drawn where the run was of that product.
export const runSection = (run, panel) => h("section", { class: "run" },
  h("h2", {}, `${t("run", { n: run.run })}: ${t(`mark ${run.verdict}`)}, ${t(`to ${run.disposition}`)}`),
  h("p", {}, [`${t("lot")} ${run.lot}`, run.station, t("nest", { n: run.nest }), `${run.recipe} ${run.recipe_revision}`, `${toMinute(run.started)} UTC`].join(" · ")),
  h("div", { class: "seen" }, drawingOf(run, panel),
    h("div", {}, h("h3", {}, t("nearest")), nearestOf(run), h("p", { class: "small" }, t("notation")))), allChecks(run), rawDetails(run));
