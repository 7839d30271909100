// The figure of one nest: heading with its word, drawing, note. The drawing is made anew only when
// something in it changed for good; finger, progress, count-down and the strips of a unit that runs
// move within it.

import { h, kindOf } from "/elements.js";
import { draw, fill, inWords, move, noteOf, wordOf } from "/panel.js";
import { language } from "/settings.js";
import { keySaid } from "/sentences.js";
import { t } from "/texts.js";

const write = (element, text) => { if (element.textContent !== text) element.textContent = text; };

export class NestFigure {
  element = h("figure", { class: "nest", tabindex: "0" });
  #drawn = ""; #word; #note; #drawing; #words; #told = ""; #unit = null;

  constructor() {
    this.element.addEventListener("keydown", (event) => this.#walk(event));
    this.element.addEventListener("pointerover", (event) => this.#point(event));
    this.element.addEventListener("click", (event) => this.#point(event));
    for (const leave of ["pointerleave", "blur"])
      this.element.addEventListener(leave, () => this.#tell(""));
  }

  show(sheet, unit, wide, beside = false) {
    const { mark, serial, sentence, reason, keys, to_confirm } = unit;
    const lasting = mark === "running" ? [] : keys; // the leader of a failed key, say
    const drawn = JSON.stringify([mark, serial, sentence, reason, lasting, to_confirm, wide, beside, language()]);
    this.#unit = unit;
    if (drawn !== this.#drawn) this.#draw(sheet, unit, wide, beside);
    this.#drawn = drawn;
    write(this.#word, wordOf(unit));
    write(this.#words, inWords(sheet, unit));
    this.#tell(this.#told);
    fill(this.#drawing, sheet, unit);
    move(this.#drawing, sheet, unit);
  }

  #draw(sheet, unit, wide, beside) {
    this.#told = "";
    this.#words = h("div", { class: "unseen" });
    this.#word = h("span", { class: `word ${kindOf(unit.mark)}` });
    this.#note = h("div", { class: "note" });
    this.#drawing = draw(sheet, unit, wide / (sheet.width_mm + 6), beside);
    this.element.className = unit.to_confirm ? "nest pending" : "nest";
    this.element.dataset.nest = unit.nest;
    this.element.dataset.mark = unit.mark;
    this.element.setAttribute("aria-label", t("nest", { n: unit.nest }));
    this.element.replaceChildren(
      h("figcaption", { class: "heading" },
        h("span", { class: "serial" }, h("b", {}, t("nest", { n: unit.nest })), ` ${unit.serial}`), this.#word),
      this.#drawing, this.#note, this.#words);
  }

  // Which check came nearest to its limit, with value, limit and uncertainty: of the key that a
  // person touches, points at, or reaches with the arrows.
  #tell(name) {
    this.#told = name;
    const key = this.#unit?.keys.find((one) => one.key === name);
    for (const drawn of this.#drawing?.querySelectorAll(".key") ?? [])
      drawn.classList.toggle("told", drawn.dataset.key === key?.key);
    if (this.#note && this.#unit) write(this.#note, key ? keySaid(key) : noteOf(this.#unit));
  }

  #point(event) {
    this.#tell(event.target.closest?.(".key")?.dataset.key ?? "");
  }

  #walk(event) {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key], keys = this.#unit?.keys ?? [];
    if (!step || !keys.length) return;
    event.preventDefault();
    const now = keys.findIndex((one) => one.key === this.#told);
    this.#tell(keys[now < 0 && step < 0 ? keys.length - 1 : (now + step + keys.length) % keys.length].key);
  }
}
