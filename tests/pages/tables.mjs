// Quality sheets as cases read them: drawn, and their tables beside the station's and the CSV.

import { equal, ok, until } from "./cases.mjs";

// RFC 4180, section 2: quotes around cells with commas, doubled within.
function rowsOf(csv) {
  const rows = [[""]];
  let quoted = false;
  for (let i = 0; i < csv.length; ++i) {
    const c = csv[i], row = rows.at(-1);
    if (quoted) {
      if (c !== '"') row[row.length - 1] += c;
      else if (csv[i + 1] === '"') { row[row.length - 1] += c; ++i; } else quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === ",") row.push("");
    else if (c === "\n") rows.push([""]);
    else if (c !== "\r") row[row.length - 1] += c;
  }
  return rows.filter((row) => row.length > 1 || row[0] !== "");
}

export const drawn = (page) => until("it is drawn", async () => (await page.page.$("main[aria-busy]")) === null && (await page.page.$$("main figure, main .units, main .steps")).length > 0);
export const shown = async (page, address) => { await page.page.goto(address); await drawn(page); };

// The table of a figure in a sheet.
function tableIn(sheet, id) {
  const own = /^table-(\d+)$/.exec(id);
  if (own) return sheet.tables[own[1] - 1];
  return [...sheet.charts, ...sheet.panels].find((figure) => figure.id === id)?.table;
}

// Every figure's table as the page shows it is the station's, word for word, and its CSV has the same
// numbers in full.
export async function tablesEqualCsv(page, station, where) {
  const figures = await page.page.$$eval("main figure", (all) => all.map((figure) => ({
    csv: figure.querySelector("a.csv").getAttribute("href"),
    cells: [...figure.querySelectorAll("table tbody tr")].map((row) => [...row.cells].map((cell) => cell.textContent)),
  })));
  ok(figures.length > 0, `${where}: no figure`);
  for (const { csv, cells } of figures) {
    const answer = await fetch(station.address + csv), id = new URLSearchParams(csv.split("?")[1]).get("figure");
    equal(answer.headers.get("content-type"), "text/csv; charset=utf-8", `${where}: ${csv}`);
    const rows = rowsOf(await answer.text()).slice(1);
    equal(rows.length, cells.length, `${where}: rows of ${csv}`);
    // A tape's CSV counts its places; the page's table does not.
    if (id === "tape") { equal(cells, rows.map((row) => row.slice(1)), `${where}: the tape`); continue; }
    const table = tableIn(await station.get(csv.replace(/format=csv&figure=.*/, "format=sheet")), id);
    equal(cells, table.rows.map((row) => row.map((cell) => cell.text ?? cell)), `${where}: the table of ${id}`);
    const numbers = (row) => row.flatMap((cell, i) => (cell.text === undefined ? [] : [[i, cell.value]]));
    for (const [at, row] of table.rows.entries())
      for (const [i, value] of numbers(row)) equal(Number(rows[at][i]), value, `${where}: ${csv}, row ${at}, column ${i}`);
  }
}
