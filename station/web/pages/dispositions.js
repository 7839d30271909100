// What becomes of units, and a person's decision about one: kept with who, when and why.

import { h } from "/elements.js";
import { ask, Silent, tell } from "/calls.js";
import { t } from "/texts.js";
import { who } from "/session.js";
import { inWords } from "/quality_words.js";
import { foldedTable, show } from "/figures.js";
import { callOf } from "/sheets.js";
import { filters, renew, say, sheet, showLine, toUnit } from "/question.js";
import { keepPerson, person } from "/settings.js";

const at = (id) => document.getElementById(id);
const mayDecide = () => !who().needed || ["quality", "administrator"].includes(who().role);
const field = (text, control) => h("label", {}, text, control);
const key = (name) => h("kbd", { "aria-hidden": "true" }, name);

// A decision that the page stopped waiting for may be kept all the same: the unit's run tells.
async function decided(unit, typed) {
  try {
    return (await tell("/api/quality/dispose", { serial: unit.serial, run: unit.run, ...typed })).sentence;
  } catch (trouble) {
    if (!(trouble instanceof Silent)) throw trouble;
    const last = await newestDecision(unit).catch(() => null);
    if (last === null || last.reason !== typed.why || last.disposition !== typed.to) throw new Error(t("stillUnknown"));
    return `Unit ${unit.serial} is now: ${last.disposition} (${last.who}).`;
  }
}
async function newestDecision(unit) {
  const { runs } = await ask(`/api/unit?serial=${encodeURIComponent(unit.serial)}`);
  return runs.find((one) => one.run === unit.run)?.dispositions.at(-1) ?? null;
}

// A sheet over the page: nothing is decided by one key alone.
function askAbout(unit) {
  const named = who().needed;
  const wrong = h("p", { class: "wrong", role: "alert" });
  const leave = h("button", { type: "button", "aria-keyshortcuts": "Escape" }, key("Esc"), t("leave"));
  const form = h("form", {}, h("h2", {}, t("decideOn", { unit: unit.serial })),
    h("p", {}, [inWords(unit.reason), inWords(unit.next_step)].filter(Boolean).join(" ")),
    field(t("becomes"), h("select", { name: "to" }, ...["rework", "scrap", "quarantined", "released"].map((one) => h("option", { value: one }, t(`to ${one}`))))),
    field(t("why"), h("input", { name: "why", type: "text", maxlength: 300, autocomplete: "off" })),
    named ? null : field(t("operator"), h("input", { name: "who", type: "text", maxlength: 64, value: person() })),
    h("p", { class: "small" }, t("decideNote")),
    h("div", { class: "choices" }, h("button", { type: "submit", class: "act", "data-act": true, "aria-keyshortcuts": "Enter" }, key("Enter"), t("decide")), leave), wrong,
    h("p", { class: "wrong", "data-line": true, role: "alert" }));
  const dialog = h("dialog", { "aria-label": t("decideOn", { unit: unit.serial }) }, form);
  leave.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const typed = Object.fromEntries(new FormData(form));
    if (typed.who) keepPerson(typed.who.trim());
    try {
      const sentence = await decided(unit, typed);
      dialog.close();
      at("done").textContent = inWords(sentence);
      await renew();
    } catch (trouble) {
      wrong.textContent = inWords(trouble.message);
    }
  });
  document.body.append(dialog);
  showLine();
  dialog.showModal();
}

function historyOf(unit) {
  return h("details", {}, h("summary", {}, t("changes", { n: unit.changes.length })),
    h("ol", {}, ...unit.changes.map((one) => h("li", {}, `${one.at.slice(0, 19).replace("T", " ")}Z, ${one.who || t("theStation")}: ${t(`to ${one.disposition}`)}. ${inWords(one.reason)}`))));
}

const entry = (unit) => h("article", { class: `unit ${unit.disposition}` },
  h("h2", {}, h("a", { href: toUnit(unit.serial || unit.label) }, unit.serial || unit.label || t("noSerial"))),
  h("p", { class: "word" }, t(`to ${unit.disposition}`)),
  h("p", {}, [`${t("lot")} ${unit.lot}`, t("nest", { n: unit.nest }), unit.began.slice(0, 16).replace("T", " ") + "Z", t(`mark ${unit.verdict}`)].join(" · ")),
  h("p", {}, [inWords(unit.reason), inWords(unit.next_step)].filter(Boolean).join(" ")), historyOf(unit),
  mayDecide() && unit.serial ? h("button", { type: "button", "data-act": true, onclick: () => askAbout(unit) }, t("decideAbout", { unit: unit.serial })) : null);

export async function answer(newest) {
  const address = callOf("dispositions", sheet, filters());
  const { units, more } = await ask(address), body = await ask(`${address}&format=sheet`);
  if (!newest()) return;
  say(t("question dispositions"));
  at("sentences").replaceChildren(h("p", {}, inWords(body.sentences[0])));
  if (!mayDecide()) at("sentences").append(h("p", {}, t("notYourDecision")));
  if (more) at("sentences").append(h("p", {}, t("narrowIt")));
  await show(at("figures"), body.tables.map((table, i) => foldedTable(table, i + 1, address, { unit: toUnit })),
    { newest, first: h("section", { class: "units" }, ...units.map(entry)) });
}
