// A unit's runs as the records hold them, and the raw counts of each on demand.

import { h } from "/elements.js";
import { ask } from "/calls.js";
import { t } from "/texts.js";
import { say } from "/sentences.js";
import { admitted } from "/session.js";
import { runSection } from "/run_tables.js";
import { applyTheme, language } from "/settings.js";

const at = (id) => document.getElementById(id);

async function show(serial) {
  at("heading").textContent = serial ? `${t("unit")} ${serial}` : t("unit");
  document.title = at("heading").textContent;
  at("trouble").textContent = "";
  at("runs").replaceChildren();
  if (!serial) return;
  try {
    const { runs } = await ask(`/api/unit?serial=${encodeURIComponent(serial)}`);
    at("runs").replaceChildren(...runs.reverse().map(runSection));
  } catch (trouble) {
    at("trouble").textContent = say(trouble.message);
  }
}

applyTheme();
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
