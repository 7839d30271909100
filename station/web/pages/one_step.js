// One step of the station's recipe alone, in one nest: a draft that only measures. Its result stands
// below, each key with its raw counts on demand.

import { h } from "/elements.js";
import { ask, tell } from "/calls.js";
import { sheet as dialog } from "/bar.js";
import { t } from "/texts.js";
import { say, spoken } from "/sentences.js";
import { who } from "/session.js";
import { keepPerson, person } from "/settings.js";
import { runSection } from "/run_tables.js";

const keyOf = (name) => h("kbd", { "aria-hidden": "true" }, name);
const mayDraft = () => !who().needed || ["engineer", "administrator"].includes(who().role);

export class OneStep {
  #root; #recipe = null; #panel = null; #asked = null; #told = h("p", { role: "status" }); #result = h("div", {});

  constructor(root) { this.#root = root; }

  // The recipe as /api/recipe tells it, and /api/panel.
  offer(recipe, panel) {
    this.#recipe = recipe;
    this.#panel = panel;
    const steps = recipe.steps.filter((one) => !one.not_alone), others = recipe.steps.filter((one) => one.not_alone);
    const field = (name, text, options) => h("label", {}, text, h("select", { name }, ...options));
    const form = h("form", { class: "alone" },
      field("step", t("aloneWhich"), steps.map((one) => h("option", { value: one.step }, one.step))),
      field("nest", t("aloneNest"), panel.nests.map((one) => h("option", { value: one.nest }, String(one.nest)))),
      h("button", { type: "submit", "aria-keyshortcuts": "F2" }, keyOf("F2"), t("aloneRun")));
    form.addEventListener("submit", (event) => { event.preventDefault(); this.ask(); });
    this.#root.replaceChildren(h("p", {}, t("aloneNote")), mayDraft() ? form : h("p", {}, t("notYourDraft")),
      h("ul", { class: "small" }, ...others.map((one) => h("li", {}, ...spoken(one.not_alone)))), this.#told, this.#result);
  }

  ask() {
    const form = this.#root.querySelector("form");
    if (!form) return;
    const step = form.elements.step.value, nest = Number(form.elements.nest.value), named = who().needed;
    const lot = `${step.slice(0, 40)} ${new Date().toISOString().slice(0, 19)}Z`;
    const name = named ? [] : [h("label", {}, t("operator"), h("input", { type: "text", name: "operator", value: person(), maxlength: 64 }))];
    dialog(t("alone"), t("aloneAsk", { step, nest }), [h("p", {}, t("caution")), ...name], t("aloneRun"), async ({ operator }) => {
      if (operator?.trim()) keepPerson(operator.trim());
      await tell("/api/lot/start", { lot, step, nest, units: 1, ...(operator?.trim() ? { operator: operator.trim() } : {}) });
      this.#asked = { lot, step, nest, over: false };
      this.#result.replaceChildren();
    });
  }

  // The station's state as it goes.
  async follow(state) {
    const asked = this.#asked;
    if (!asked || asked.over || state.lot !== asked.lot) return;
    if (state.state === "running") {
      const nest = state.nests.find((one) => one.nest === asked.nest);
      const lay = nest?.mark === "waiting" && nest.sentence.startsWith("Load ") ? h("button", { type: "button", onclick: () => tell(`/api/nest/${asked.nest}/load`, {}) }, t("aloneLay", { nest: asked.nest })) : "";
      const now = t(lay ? "aloneWaits" : "aloneRuns", asked);
      if (this.#told.dataset.now === now + Boolean(lay)) return;
      this.#told.dataset.now = now + Boolean(lay);
      return this.#told.replaceChildren(now, " ", lay);
    }
    asked.over = true;
    delete this.#told.dataset.now;
    const serial = state.tape.at(-1)?.serial;
    this.#told.replaceChildren(serial ? t("aloneLot", asked) : t("aloneNone", { why: say(state.last_fault || state.ended) }));
    if (!serial) return;
    const { runs } = await ask(`/api/unit?serial=${encodeURIComponent(serial)}`);
    const run = runs.filter((one) => one.lot === asked.lot).at(-1);
    if (run) this.#result.replaceChildren(h("p", {}, h("a", { href: `/unit?serial=${encodeURIComponent(serial)}` }, `${t("unit")} ${serial}`)), runSection(run, this.#panel));
  }
}
