// The controls at the edge, each with its key, and the sheets that ask before something happens.

import { h } from "/elements.js";
import { t } from "/texts.js";
import { spoken } from "/sentences.js";
import { tell } from "/calls.js";
import { applyTheme, keepPerson, nextLanguage, nextTheme, person, theme } from "/settings.js";

const key = (name) => h("kbd", { "aria-hidden": "true" }, name);

// Enter does what a sheet says, also from a list, where a browser does nothing of its own.
export function enterDoes(form) {
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.tagName !== "SELECT") return;
    event.preventDefault();
    form.requestSubmit();
  });
}

// A sheet over the drawing: Enter does it, Escape leaves.
export function sheet(name, text, fields, doIt, work) {
  const wrong = h("p", { class: "wrong", role: "alert" });
  const leave = h("button", { type: "button", "aria-keyshortcuts": "Escape" }, key("Esc"), t("leave"));
  const form = h("form", {}, h("h2", {}, name), h("p", {}, text), ...fields,
    h("div", { class: "choices" }, h("button", { type: "submit", class: "act", "aria-keyshortcuts": "Enter" }, key("Enter"), doIt), leave), wrong);
  const dialog = h("dialog", { "aria-label": name }, form);
  enterDoes(form);
  leave.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    try {
      await work(Object.fromEntries(new FormData(form)));
      dialog.close();
    } catch (trouble) {
      wrong.replaceChildren(...spoken(trouble.message));
    }
  });
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

function askStop() {
  sheet(t("stop"), t("stopAsk"), [], t("stop"), () => tell("/api/lot/stop"));
}

function askAbort(state) {
  const running = state.nests.filter((nest) => nest.mark === "running");
  const choice = (value, label, first) =>
    h("label", { class: "tick-box" }, h("input", { type: "radio", name: "nest", value, checked: first }), label);
  const choices = running.map((nest, i) => choice(nest.nest, `${t("nest", { n: nest.nest })}  ${nest.serial}`, i === 0));
  if (running.length > 1) choices.push(choice("all", t("abortAll"), false));
  sheet(t("abort"), t("abortAsk"), [h("fieldset", {}, h("legend", { class: "unseen" }, t("abort")), ...choices)], t("abortDo"), async ({ nest }) => {
    const nests = nest === "all" ? running.map((one) => one.nest) : [nest];
    for (const one of nests) await tell(`/api/nest/${one}/abort`);
  });
}

function askCheck() {
  const name = h("label", {}, t("operator"), h("input", { type: "text", name: "operator", value: person(), maxlength: 64 }));
  sheet(t("check"), t("checkAsk"), [name], t("check"), async ({ operator }) => {
    if (!operator.trim()) throw new Error(t("noName"));
    keepPerson(operator.trim());
    await tell("/api/shift-check/start", { operator: operator.trim() });
  });
}

// What may be done in this state: [key, name, what happens].
function controls(state, panel, renew) {
  const list = [], idle = state.state !== "running";
  if (idle && panel.has_shift_check) list.push(["F2", t("check"), askCheck]);
  if (!idle && !state.stopping) list.push(["F4", t("stop"), askStop]);
  if (state.nests.some((nest) => nest.mark === "running")) list.push(["F8", t("abort"), () => askAbort(state)]);
  list.push(["F9", t("language"), () => { nextLanguage(); renew("language"); }]);
  list.push(["F10", t("theme", { theme: t(theme()) }), () => { nextTheme(); renew("theme"); }]);
  return list;
}

// F9 and F10 at the foot of a page that has no other controls of its own there. `renew` draws the
// page anew in the other language.
export function footBar(renew = () => location.reload()) {
  const root = h("div", { id: "bar", role: "toolbar" }), bar = new Bar(root);
  const show = () => bar.show({ state: "running", stopping: true, nests: [] }, {}, (changed) => { show(); if (changed === "language") renew(); });
  document.body.append(h("footer", {}, root));
  show();
}

// A name that stands there already is replaced by what is typed, not added to.
addEventListener("focusin", (event) => {
  if (event.target.matches?.("input[name=operator]")) event.target.select();
});

export class Bar {
  #root; #list = []; #seen = "";

  constructor(root) {
    this.#root = root;
    applyTheme();
    document.addEventListener("keydown", (event) => this.#press(event));
  }

  show(state, panel, renew) {
    this.#list = controls(state, panel, renew);
    const seen = this.#list.map(([name, text]) => name + text).join();
    if (seen === this.#seen) return;
    this.#seen = seen;
    this.#root.replaceChildren(...this.#list.map(([name, text], i) =>
      h("button", { type: "button", "aria-keyshortcuts": name, onclick: () => this.#list[i]?.[2]() }, key(name), text)));
  }

  #press(event) {
    if (document.querySelector("dialog[open]")) return;
    const button = document.querySelector(`#desk button[data-key="${event.key}"]`);
    const control = this.#list.find(([name]) => name === event.key);
    if (!button && !control) return;
    event.preventDefault();
    if (button) button.click();
    else control[2]();
  }
}
