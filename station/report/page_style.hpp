// The style of report pages. Internal to page.cpp.
#pragma once

namespace padtrim::report {

inline constexpr const char* page_style = R"css(
@page { size: A4 portrait; margin: 10mm;
  @bottom-right { content: "sheet " counter(page) " of " counter(pages); font: 8pt system-ui, "DejaVu Sans", sans-serif; color: #16202b; }
}
* { box-sizing: border-box; }
html { background: #e9e5da; color: #16202b; font: 10pt/1.4 system-ui, "DejaVu Sans", sans-serif; font-variant-numeric: tabular-nums; }
body { margin: 0; }
.sheet { width: 190mm; min-height: 277mm; margin: 8mm auto; padding: 6mm 6mm 0 6mm; background: #f7f4ec; border: 0.7mm solid #16202b; display: flex; flex-direction: column; overflow-wrap: break-word; }
h1 { font-size: 21pt; line-height: 1.15; margin: 0 0 3mm 0; font-weight: 600; }
h2 { font-size: 15pt; line-height: 1.2; margin: 0 0 2mm 0; font-weight: 600; }
h3 { font-size: 10.5pt; margin: 0 0 1mm 0; font-weight: 600; }
p { margin: 0 0 2mm 0; max-width: 165mm; }
figure { margin: 3mm 0 3mm 0; break-inside: avoid; }
figure p { color: #16202b; font-size: 9pt; }
.chart { width: 176mm; height: 56mm; }
.chart.below { height: 42mm; }
.panel, .tape { width: 176mm; }
.remarks { font-size: 9pt; margin: 0 0 2mm 0; padding-left: 8mm; columns: 2; }
table { border-collapse: collapse; font-size: 8pt; margin: 1mm 0 3mm 0; max-width: 100%; }
caption { text-align: left; font-weight: 600; padding: 1mm 0; }
th, td { padding: 0.5mm 1.8mm 0.5mm 0; text-align: left; vertical-align: top; border-bottom: 0.15mm solid #9aa0a6; }
th { border-bottom: 0.4mm solid #16202b; font-weight: 600; vertical-align: bottom; }
td.n, th.n { text-align: right; padding-left: 1.6mm; }
td.n, td.s { white-space: nowrap; }
table.wide { font-size: 7pt; }
table.wide th, table.wide td { padding-right: 1mm; }
table.wide td.n, table.wide th.n { padding-left: 1mm; }
table.wide td.s { white-space: normal; }
th { overflow-wrap: normal; }
td { overflow-wrap: anywhere; }
td.n { overflow-wrap: normal; }
tr { break-inside: avoid; }
details { font-size: 9pt; margin: 0 0 2mm 0; }
summary { cursor: pointer; }
.block { margin: auto -6mm 0 auto; width: 120mm; border-top: 0.7mm solid #16202b; border-left: 0.7mm solid #16202b; display: grid; grid-template-columns: 1fr 1fr; break-inside: avoid; }
.block div { padding: 0.7mm 2mm; border-bottom: 0.15mm solid #16202b; border-right: 0.15mm solid #16202b; font-size: 8.5pt; overflow-wrap: anywhere; }
.block div.whole { grid-column: 1 / 3; font-weight: 600; font-size: 10pt; }
.block span { display: block; font-size: 7pt; color: #4a5560; }
@media (max-width: 800px) { .sheet { width: auto; margin: 0; } .chart, .panel, .tape { max-width: 100%; } }
@media print {
  html, .sheet { background: #fff; }
  .sheet { width: auto; margin: 0; min-height: 268mm; break-after: page; box-decoration-break: clone; -webkit-box-decoration-break: clone; }
  .sheet:last-of-type { break-after: auto; }
  details:not([open]) { display: none; }
}
)css";

}  // namespace padtrim::report
