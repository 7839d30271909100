// A unit's runs as the records hold them, and the raw counts of each on demand.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { spoken } from "/sentences.js";
import { admitted } from "/session.js";
import { runSection } from "/run_tables.js";
import { language } from "/settings.js";
import { footBar } from "/bar.js";

const at = (id) => document.getElementById(id);

async function show(serial) {
  at("heading").textContent = serial ? `${t("unit")} ${serial}` : t("unit");
  document.title = at("heading").textContent;
  at("trouble").textContent = "";
  at("runs").replaceChildren();
  if (!serial) return at("runs").replaceChildren(h("p", {}, t("unitHint")));
  try {
    const [{ runs }, panel] = await Promise.all([ask(`/api/unit?serial=${encodeURIComponent(serial)}`), ask("/api/panel")]);
    at("runs").replaceChildren(...runs.reverse().map((run) => runSection(run, panel)));
  } catch (trouble) {
    at("trouble").replaceChildren(...spoken(trouble.message));
  }
}

footBar();
document.documentElement.lang = language();
at("back").textContent = t("plan");
const serial = new URLSearchParams(location.search).get("serial") ?? "";
at("find").append(
  h("label", {}, t("scanUnit"), h("input", { type: "text", name: "serial", autofocus: true, maxlength: 64 })),
  h("button", { type: "submit", "aria-keyshortcuts": "Enter" }, h("kbd", { "aria-hidden": "true" }, "Enter"), t("find")));
at("find").addEventListener("submit", (event) => {
  event.preventDefault();
  const wanted = event.target.elements.serial.value.trim();
  history.replaceState(null, "", `?serial=${encodeURIComponent(wanted)}`);
  event.target.reset();
  show(wanted);
});
admitted().then((goesOn) => { if (goesOn) show(serial); });
