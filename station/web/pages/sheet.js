// Every quality sheet is this one page: its address says which sheet, that sheet's module answers it.

import { admitted } from "/session.js";
import { watch } from "/live.js";
import { line, sheet, start } from "/question.js";
import * as chart from "/chart.js";
import * as dispositions from "/dispositions.js";
import * as gauge from "/gauge.js";
import * as overview from "/overview.js";
import * as quality from "/quality.js";
import * as sampling from "/sampling.js";

const own = { chart, dispositions, gauge, overview, sampling };
const { answer, acts = () => [], take = () => {} } = own[sheet.name] ?? quality;

admitted().then((goesOn) => {
  if (!goesOn) return;
  start(answer, acts);
  watch(take, line);
});
