// The one thing to do next, as something to do: the start sheet, the field for labels, a question's
// two answers, a rejected unit to put away, a fault to clear. Which one is a pure function of the
// state; the form stays as it is while the same thing is to do, so that nothing typed is lost.

import { h } from "/elements.js";
import { t } from "/texts.js";
import { spoken } from "/sentences.js";
import { tell } from "/calls.js";
import { keepPerson, language, person } from "/settings.js";

const byHand = (sheet, n) => sheet.nests.some((nest) => nest.nest === n && nest.by_hand);
const waitingNests = (state, sheet) =>
  state.nests.filter((nest) => nest.mark === "waiting" && nest.sentence && byHand(sheet, nest.nest));

// { kind, id, ... }: another id is another thing to do.
export function nextThing(state, sheet) {
  if (state.state === "blocked" && state.last_fault) return { kind: "clear", id: `clear ${state.last_fault}`, fault: state.last_fault };
  const asking = state.nests.find((nest) => nest.question);
  if (asking) return { kind: "question", id: `question ${asking.nest} ${asking.question}`, nest: asking };
  const aside = state.lying.find((unit) => unit.to_confirm);
  if (aside) return { kind: "aside", id: `aside ${aside.nest} ${aside.serial}`, nest: aside };
  if (state.state === "running") {
    const nests = state.stopping ? [] : waitingNests(state, sheet).map((nest) => nest.nest);
    return nests.length ? { kind: "load", id: `load ${nests.join(" ")}`, nests } : { kind: "none", id: "none" };
  }
  const start = state.start ?? { obstacles: [], free: true, free_as_draft: true };
  const { sentence } = state;
  return { kind: "start", id: `start ${sentence} ${JSON.stringify(start.obstacles)}`, start, sentence, guard: sheet.has_guard };
}

// What happened, and the last sentence: what to do.
export function partsOfFault(fault) {
  const found = /^(.*[.!?]) +([^.!?]+[.!?])$/s.exec(fault);
  return found ? { why: found[1], act: found[2] } : { why: "", act: fault };
}

export const unreleased = (state) =>
  state.state === "ready" && Boolean(state.start?.obstacles.some((one) => one.at === "plan"));

const key = (name) => h("kbd", { "aria-hidden": "true" }, name);
const field = (name, label, extra) =>
  h("label", {}, label, h("input", { type: "text", name, autocomplete: "off", spellcheck: "false", ...extra }));
const act = (keyName, text, extra) =>
  h("button", { type: "submit", class: "act", "aria-keyshortcuts": keyName, ...extra }, key(keyName), text);
const box = (name, label, extra) =>
  h("label", { class: "tick-box" }, h("input", { type: "checkbox", name, ...extra }), label);

// But for the one that heads the page.
function obstacles(start, sentence) {
  const more = start.obstacles.filter((one) => one.sentence !== sentence);
  if (!more.length) return null;
  return h("ul", { class: "obstacles" }, ...more.map((one) =>
    h("li", {}, h("b", {}, t(`at ${one.at}`)), ...spoken(one.sentence),
      one.at === "plan" ? h("a", { href: "/plan" }, t("plan")) : null)));
}

const builders = {
  start(thing) {
    const { start, sentence } = thing;
    const draft = !start.free && start.free_as_draft;
    return {
      parts: [
        obstacles(start, sentence),
        field("lot", t("lot"), { maxlength: 64 }), field("units", t("units"), { class: "narrow", inputmode: "numeric" }),
        field("operator", t("operator"), { value: person(), maxlength: 64 }),
        box("measure_only", t("justMeasure")), box("again", t("runAgain")), draft ? box("draft", t("asDraft"), { required: true }) : null,
        act("Enter", t("start"), { disabled: !start.free && !start.free_as_draft }),
        h("p", { class: "tell" }, ...spoken(start.permission, start.readiness), thing.guard ? ` ${t("guardAtRest")}` : null),
      ],
      inTurn: true,
      async send(values) {
        const units = values.units.trim();
        if (!values.lot.trim()) throw new Error(t("noLot"));
        if (units && !/^\d{1,6}$/.test(units)) throw new Error(t("noUnits"));
        keepPerson(values.operator.trim());
        await tell("/api/lot/start", {
          lot: values.lot.trim(), units: Number(units), operator: values.operator.trim(),
          measure_only: Boolean(values.measure_only), again: Boolean(values.again), draft: Boolean(values.draft),
        });
      },
    };
  },
  // The nest that was chosen stays chosen while it waits, whatever the others do.
  load(thing, desk) {
    let at = Math.max(0, thing.nests.indexOf(desk.nest));
    const choose = (step) => {
      at = (at + step + thing.nests.length) % thing.nests.length;
      desk.nest = thing.nests[at];
      label.firstChild.data = t("label", { n: desk.nest });
    };
    const label = field("label", "", { maxlength: 64 });
    choose(0);
    label.addEventListener("keydown", (event) => {
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      choose(step);
      desk.onChoice?.();
    });
    return {
      parts: [label, act("Enter", t("loaded")), h("p", { class: "tell" }, t("loadHint"))],
      send: (values) => tell(`/api/nest/${thing.nests[at]}/load`, { label: values.label.trim() }),
    };
  },
  aside(thing) {
    const serial = thing.nest.serial || t("noSerial");
    return {
      parts: [
        field("scanned", t(thing.nest.mark === "removed" ? "asideAny" : "asideField", { serial }), { maxlength: 64 }), act("Enter", t("aside", { serial })),
      ],
      async send(values) {
        const scanned = values.scanned.trim();
        // The label of a unit that was not run may be another's.
        const strange = thing.nest.mark === "removed";
        if (scanned && !strange && scanned !== thing.nest.serial) throw new Error(t("asideWrong", { scanned, serial }));
        await tell(`/api/nest/${thing.nest.nest}/put-aside`, { operator: person() });
      },
    };
  },
  question(thing) {
    const answer = (yes) => tell(`/api/nest/${thing.nest.nest}/answer`, { answer: yes ? "yes" : "no" });
    const button = (keyName, text, yes) =>
      h("button", { type: "button", class: "act", "data-key": keyName, "aria-keyshortcuts": keyName, "data-yes": yes ? "1" : "" }, key(keyName), text);
    return {
      parts: [
        button("F6", t("yes"), true), button("F7", t("no"), false),
      ],
      choose: answer,
      send: async () => {},
    };
  },
  clear(thing) {
    return {
      parts: [h("p", { class: "tell" }, ...spoken(partsOfFault(thing.fault).why)), field("operator", t("operator"), { value: person(), maxlength: 64 }), act("Enter", t("clear")),
        h("p", { class: "tell" }, t("clearHint"))],
      async send(values) {
        if (!values.operator.trim()) throw new Error(t("noName"));
        keepPerson(values.operator.trim());
        await tell("/api/fault/clear", { operator: values.operator.trim() });
      },
    };
  },
};

const scanned = "input[name=label], input[name=scanned]";

export class Desk {
  nest = 0; // that the next unit is for
  onChoice = null;
  #root; #id = ""; #form = null;

  constructor(root) {
    this.#root = root;
    document.addEventListener("keydown", (event) => {
      const idle = document.activeElement === document.body && !document.querySelector("dialog[open]");
      if (idle && event.key.length === 1 && !event.ctrlKey && !event.altKey) this.focus();
    });
  }

  get starts() {
    return this.#form?.dataset.kind === "start";
  }

  get loads() {
    return this.#form?.dataset.kind === "load";
  }

  // A form that was built anew goes on in the field that somebody was in.
  focus(name = "") {
    const field = name ? this.#form?.elements.namedItem(name) : null;
    (field ?? this.#form?.querySelector("input[type=text]"))?.focus();
  }

  show(state, sheet) {
    const thing = nextThing(state, sheet), id = `${language()} ${thing.id}`;
    if (id === this.#id) return;
    const sameKind = this.#form?.dataset.kind === thing.kind;
    const typed = sameKind ? new FormData(this.#form) : null, was = document.activeElement?.name;
    this.#id = id;
    this.#form = thing.kind === "none" ? null : this.#build(thing, typed);
    this.#root.replaceChildren(...(this.#form ? [this.#form] : []));
    const there = document.activeElement;
    if (there === document.body || !there || sameKind) this.focus(sameKind ? was : "");
  }

  #build(thing, typed) {
    const made = builders[thing.kind](thing, this);
    const wrong = h("p", { class: "wrong", role: "alert" });
    const form = h("form", { "data-kind": thing.kind, novalidate: true }, ...made.parts, wrong);
    // A scanned field is empty at once, ready for the next scan; what was refused comes back marked.
    const doing = async (work) => {
      const input = form.querySelector(scanned), values = Object.fromEntries(new FormData(form));
      wrong.textContent = "";
      if (input) input.value = "";
      try {
        await work(values);
      } catch (trouble) {
        wrong.replaceChildren(...spoken(trouble.message));
        if (!input || input.value) return;
        input.value = values[input.name];
        input.select();
      }
    };
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const next = made.inTurn ? this.#nextField(form) : null;
      if (next) return next.focus();
      doing(made.send);
    });
    // A button that is not to be pressed yet keeps Enter from submitting; a scan leads on all the same.
    form.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || !made.inTurn || !form.querySelector("button.act:disabled")) return;
      event.preventDefault();
      this.#nextField(form)?.focus();
    });
    for (const button of form.querySelectorAll("button[data-yes]"))
      button.addEventListener("click", () => doing(() => made.choose(button.dataset.yes === "1")));
    for (const [name, value] of typed ?? []) {
      const input = form.elements.namedItem(name);
      if (input?.type === "text") input.value = value;
      else if (input) input.checked = true;
    }
    return form;
  }

  // A scanner ends with Enter: it leads from field to field, and starts from the last one only.
  #nextField(form) {
    const fields = [...form.querySelectorAll("input[type=text]")];
    const at = fields.indexOf(document.activeElement);
    return at < 0 ? null : fields[at + 1];
  }
}
