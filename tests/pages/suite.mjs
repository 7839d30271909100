// The pages as an operator meets them: by keyboard alone, on the real program and a virtual bench.
// WCAG 2.2 by axe-core, an independent checker; two seconds for a lost line: common practice, no
// source.

import { runAll } from "./cases.mjs";
import { closeBrowser } from "./browser.mjs";

await import("./operator_cases.mjs");
await import("./line_cases.mjs");
await import("./words_cases.mjs");
await import("./translation_cases.mjs");
await import("./api_cases.mjs");
await import("./engineer_cases.mjs");
await import("./fixture_cases.mjs");
await import("./author_cases.mjs");
await import("./quality_cases.mjs");
await import("./alarm_cases.mjs");
await import("./sampling_cases.mjs");
await import("./books_cases.mjs");
await import("./sheet_cases.mjs");
await import("./login_cases.mjs");
await import("./script_cases.mjs");
await import("./look_cases.mjs");

const good = await runAll(process.argv[3] ?? "");
await closeBrowser();
process.exit(good ? 0 : 1);
