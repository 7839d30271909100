// A sheet's figures as the station describes them: each drawn, with its table and its CSV beside it.

import { h } from "/elements.js";
import { t } from "/texts.js";
import { decimal, moment } from "/local.js";
import { inWords, spoken } from "/sentences.js";
import { language } from "/settings.js";

const scripts = ["/charts/library.js", "/charts/drawing.js"], tries = 3, pause = 400; // ms
const loaded = new Map();

// Charts come as plain scripts, which reports carry too. One that did not load is asked for again.
function load(path) {
  const loading = loaded.get(path) ?? new Promise((done, wrong) => {
    const script = h("script", { src: path, onload: done, onerror: () => { loaded.delete(path); script.remove(); wrong(new Error(t("noDrawing"))); } });
    document.head.append(script);
  });
  loaded.set(path, loading);
  return loading;
}
async function loadPatiently(path, left = tries) {
  try {
    await load(path);
  } catch (trouble) {
    if (left <= 1) throw trouble;
    await new Promise((again) => setTimeout(again, pause));
    await loadPatiently(path, left - 1);
  }
}
export async function drawing() {
  for (const path of scripts) await loadPatiently(path);
}

// The drawing takes its colours from the page's theme.
function takeLook() {
  const style = getComputedStyle(document.documentElement), colour = (name) => style.getPropertyValue(name).trim();
  padtrimDrawing.use({ ink: colour("--ink"), faint: colour("--hair"), live: colour("--live"), stop: colour("--stop-line"), paper: colour("--paper"), type: 1.27, figures: decimal, words: inWords, dayFirst: language() === "de" });
}

const mostRows = 500; // the CSV has every one
const row = (...cells) => h("tr", {}, ...cells);
const isMoment = (words) => /^\d{4}-\d{2}-\d{2}/.test(words);
const unbroken = ["unit", "lot", "serial", "station", "fixture", "revision", "allowed", "limits", "from"]; // columns whose words stay on one line
const wordsOf = (cell) => (typeof cell === "string" ? cell : cell.text);

// Names stay as they are, whatever they say in English; "(the unit)" is none.
const named = ["key", "unit", "lot", "serial", "station", "recipe", "revision", "fixture", "step", "who"];
const isName = (cell, column) => named.includes(column.title) && typeof cell === "string" && !cell.startsWith("(");
// Figures of a cell as the reader writes them; dates, too.
const saidIn = (cell) => (typeof cell !== "string" ? decimal(inWords(cell.text)) : isMoment(cell) ? moment(cell) : inWords(cell));

// `unit` gives the address of a cell that names a unit.
export function tableOf(table, links = {}) {
  const heads = table.columns.map((column) =>
    column.title || column.unit ? h("th", { scope: "col", class: column.number ? "figure" : null }, column.unit && column.unit !== "1" ? `${inWords(column.title)}, ${column.unit}` : inWords(column.title)) : h("td", {}));
  const cellOf = (cell, column, all) => {
    const link = links[column.title]?.(wordsOf(cell), all), words = isName(cell, column) ? cell : saidIn(cell);
    return h("td", { class: column.number ? "figure" : isMoment(wordsOf(cell)) ? "moment" : unbroken.includes(column.title) ? "unbroken" : null }, link ? h("a", { href: link }, words) : words);
  };
  const rows = table.rows.slice(0, mostRows).map((cells) => row(...cells.map((cell, i) => cellOf(cell, table.columns[i], cells))));
  return h("div", { class: "wide", tabindex: "0", role: "group", "aria-label": inWords(table.title) || t("table") },
    h("table", {}, h("thead", {}, row(...heads)), h("tbody", {}, ...rows)),
    table.rows.length > mostRows ? h("p", { class: "small" }, t("firstRows", { n: mostRows, of: table.rows.length })) : null);
}

const csvLink = (address, id) => h("a", { class: "csv", href: `${address}&format=csv&figure=${encodeURIComponent(id)}`, download: `${id}.csv` }, t("csv"));

// Points that a rule struck out, with the letters that the chart gives them.
function remarksOf(chart) {
  const remarks = chart.series.flatMap((series) => series.dots.map((dot) => dot.remark).filter(Boolean));
  return remarks.length ? h("ol", { type: "a", class: "remarks" }, ...remarks.map((remark) => h("li", {}, ...spoken(remark)))) : null;
}

function tableDetails(table, links, open) {
  return h("details", { open }, h("summary", {}, t("table")), tableOf(table, links));
}

// One figure of a sheet; `draw` fills its room once it stands in the page.
function figureOf(figure, address, draw, { links, table, className = "" }) {
  const room = h("div", { class: `drawing ${className}` });
  const element = h("figure", { id: figure.id }, h("h2", {}, inWords(figure.title)), room,
    figure.sentence ? h("figcaption", {}, ...spoken(figure.sentence)) : null,
    figure.series ? remarksOf(figure) : null,
    h("div", { class: "beside" }, tableDetails(table, links), csvLink(address, figure.id)));
  return { element, draw: () => { padtrimDrawing.clear(room); room.removeAttribute("style"); draw(room); } };
}

export const chartFigure = (chart, address, links = {}) =>
  figureOf(translated(chart), address, (room) => { padtrimDrawing.drawChart(room, translated(chart)); }, { links, table: chart.table, className: chart.below ? "chart below" : "chart" });
export const panelFigure = (panel, address, open, links = {}) =>
  figureOf(panel, address, (room) => padtrimDrawing.drawPanel(room, panelInWords(panel), open), { links, table: panel.table, className: "panel" });
export function tapeFigure(tape, address, open) {
  const table = { title: tape.title, columns: [{ title: "unit", unit: "" }, { title: "verdict", unit: "" }], rows: tape.units.map((unit) => [unit.serial, unit.mark]) };
  const words = { ...tape, units: tape.units.map((unit) => ({ ...unit, mark: unit.mark })) };
  return figureOf(tape, address, (room) => padtrimDrawing.drawTape(room, words, open),
    { table, links: { unit: (serial) => open({ serial }) }, className: "tape" });
}
// What to do about a table that has nothing yet.
const emptyWords = () => {
  const own = `empty ${document.body.dataset.sheet}`, said = t(own);
  return said === own ? t("noRows") : said;
};
export const tableFigure = (table, place, address, links = {}) => ({
  element: h("figure", { id: `table-${place}` }, table.title ? h("h2", {}, inWords(table.title)) : null,
    table.rows.length ? tableOf(table, links) : h("p", { class: "empty" }, emptyWords()),
    h("div", { class: "beside" }, csvLink(address, `table-${place}`))),
  draw: () => {},
});

export const foldedTable = (table, place, address, links = {}) => ({
  element: h("figure", { id: `table-${place}` }, h("div", { class: "beside" }, tableDetails(table, links), csvLink(address, `table-${place}`))),
  draw: () => {},
});

const panelInWords = (panel) => ({ ...panel, title: inWords(panel.title), places: panel.places.map((one) => ({ ...one, value: decimal(inWords(one.value)), detail: inWords(one.detail) })) });
const axisInWords = (axis) => (axis ? { ...axis, title: inWords(axis.title) } : axis);
const translated = (chart) => ({
  ...chart, title: inWords(chart.title), sentence: inWords(chart.sentence),
  x: axisInWords(chart.x), y: axisInWords(chart.y),
  series: chart.series.map((one) => ({ ...one, name: inWords(one.name) })),
  limits: chart.limits.map((one) => ({ ...one, name: inWords(one.name) })),
});

// Figures into their places after `first` (the first `columns` of them in a column of their own), drawn when they stand;
// again when the window or the theme changes. Nothing happens when another answer is on its way by then.
let standing = [];
export async function show(container, figures, { newest, columns = 0, first = "" }) {
  await drawing();
  if (!newest()) return;
  padtrimDrawing.clear(container);
  standing = figures;
  const elements = figures.map((figure) => figure.element);
  if (columns) container.replaceChildren(h("div", { class: "column" }, ...elements.slice(0, columns)), h("div", { class: "column" }, ...elements.slice(columns)));
  else container.replaceChildren(first, ...elements);
  redraw();
}
export function redraw() {
  if (!globalThis.padtrimDrawing) return;
  takeLook();
  for (const figure of standing) figure.draw();
}
