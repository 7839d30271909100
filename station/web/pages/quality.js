// Quality sheets that answer one question: its sentences, its figures, each with table and CSV.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { inWords, spoken } from "/sentences.js";
import { toMinute } from "/local.js";
import { foundBy } from "/findings.js";
import { chartFigure, foldedTable, panelFigure, show, tableFigure } from "/figures.js";
import { callOf } from "/sheets.js";
import { filters, offer, say, sheet, toSheet, toUnit } from "/question.js";

const at = (id) => document.getElementById(id);
const tell = (sentences, more) => at("sentences").replaceChildren(...sentences.map((one) => h("p", {}, ...spoken(one))), ...more);

// The check that a panel is about stands in its table's title.
const openKey = (name, panel) => (place) => toSheet(name, { check: panel.table.title, key: place.key });
const links = { unit: (words) => toUnit(words), lot: (words) => toSheet(sheet.fields.includes("lot") ? sheet.name : "yield", { lot: words }) };

const chartsOf = (body, address) => body.charts.map((chart) => chartFigure(chart, address, links));
// Which units to look at stands with the lot already; their table is for the CSV.
const isList = (table) => table.title === "Units to look at, in the order they come";
const tablesOf = (body, address) => body.tables.map((table, i) => (isList(table) ? foldedTable : tableFigure)(table, i + 1, address, links));
// One key's own charts say more than the panel around it.
function panelsOf(body, address) {
  if (filters().get("key")) return [];
  const leads = sheet.name === "chart" ? "chart" : "capability";
  return body.panels.map((panel) => panelFigure(panel, address, panel.id === "failures" ? null : openKey(leads, panel), links));
}
const figuresOf = (body, address) => [...panelsOf(body, address), ...chartsOf(body, address), ...tablesOf(body, address)];

const column = (figures, text = "") => ({ element: h("div", { class: "column" }, text ? h("h2", {}, text) : "", ...figures.map((one) => one.element)), draw: () => figures.forEach((one) => one.draw()) });
const bare = (title) => title.replace(/, as (found|left)$/, "");
const named = (figures, text) => { figures[0]?.element.prepend(h("h2", {}, text)); return figures; };

// Checks that come but once, before the trims or after them: one side alone then.
const isEmpty = (body) => ![...body.panels, ...body.charts].length && body.tables.every((table) => !table.rows.length);
function aloneFigures(found, address) {
  const tables = tablesOf(found, address);
  for (const figure of tables) figure.element.classList.add("whole");
  return named([...panelsOf(found, address), ...chartsOf(found, address), ...tables], t("product as found"));
}

// As found on the left, as left on the right: first what both have, row by row, then what only one has.
function capabilityFigures([found, left], addresses) {
  if (isEmpty(left)) return aloneFigures(found, addresses[0]);
  const draw = (kind, figures, at) => (kind === "panels" ? panelsOf : chartsOf)({ [kind]: figures }, addresses[at]);
  const rows = [], alone = [[], []];
  for (const kind of ["panels", "charts"]) {
    const twinOf = (figure, others) => others.find((other) => bare(other.title) === bare(figure.title));
    for (const figure of found[kind]) {
      const twin = twinOf(figure, left[kind]);
      if (twin) rows.push(...draw(kind, [figure], 0), ...draw(kind, [twin], 1));
      else alone[0].push(...draw(kind, [figure], 0));
    }
    alone[1].push(...draw(kind, left[kind].filter((figure) => !twinOf(figure, found[kind])), 1));
  }
  const tables = [...named(tablesOf(found, addresses[0]), t("product as found")), ...named(tablesOf(left, addresses[1]), t("station as left"))];
  for (const figure of tables) figure.element.classList.add("whole");
  tables[1].element.id += "-left";
  return [...rows, column(alone[0], t("product as found")), column(alone[1], t("station as left")), ...tables];
}

// Over time on the left, where on the panel and at which check on the right. The table of the causes
// stands with their bars; of one group, its numbers stand where its chart would.
function yieldFigures(bodies, addresses) {
  const [charts, panels, tables] = [chartsOf, panelsOf, tablesOf].map((of) => bodies.map((body, i) => of(body, addresses[i])));
  const isCauses = (figure) => figure.element.id === "first-failing-checks";
  const causes = charts[0].filter(isCauses), overTime = charts[0].filter((one) => !isCauses(one));
  const others = tables[0].filter((_, i) => bodies[0].tables[i].title !== bodies[0].charts.find((chart) => chart.id === "first-failing-checks")?.title);
  const left = overTime.length ? overTime : others.splice(0, 1);
  for (const figure of others) figure.element.classList.add("whole");
  return [column(left), column([...panels[1], ...causes]), ...others];
}
const arranged = { capability: capabilityFigures, yield: yieldFigures };

// What an answer knows that the title block offers.
async function offerEpisodes(address) {
  const { episodes } = await ask(address);
  offer("episode", episodes.map((one, i) => [i ? String(i + 1) : "", `${toMinute(one.first_blocked)}, ${one.fixture}`]));
}

const nothing = async () => ({ words: [], figures: [] });

// `beside` asks for what a sheet has beside its question: words and a `first` element above the figures, figures below them.
export async function answer(newest, beside = nothing) {
  const now = filters(), counts = {};
  if (sheet.name === "doubt" && !now.get("station")) {
    now.set("station", (await ask("/api/panel")).station);
    history.replaceState(null, "", `?${now}`);
  }
  if (sheet.name === "capability") counts.charts = now.get("key") ? 12 : 4;
  if (sheet.name === "chart") counts.charts = now.get("key") ? 8 : 2;
  const addresses = sheet.calls.map((call) => callOf(call, sheet, now, counts));
  const bodies = [];
  for (const address of addresses) bodies.push(await ask(`${address}&format=sheet`));
  if (sheet.name === "doubt") await offerEpisodes(addresses[0]);
  const more = await beside();
  if (!newest()) return;
  say(foundBy(bodies[0].finding));
  const telling = bodies.filter((body, i) => i === 0 || !isEmpty(body));
  tell([...new Set(telling.flatMap((body) => body.sentences))], more.words);
  at("figures").dataset.columns = arranged[sheet.name] ? "2" : "1";
  const figures = arranged[sheet.name]?.(bodies, addresses) ?? bodies.flatMap((body, i) => figuresOf(body, addresses[i]));
  await show(at("figures"), [...figures, ...more.figures], { newest, first: more.first ?? "" });
}
