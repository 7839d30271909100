// A sheet over the page that asks for a reason, and for a name where nobody is logged in: what the
// quality team changes is kept with both. Nothing is changed by one key alone.

import { h } from "/elements.js";
import { enterDoes } from "/bar.js";
import { t } from "/texts.js";
import { who } from "/session.js";
import { spoken } from "/sentences.js";
import { renew, showLine } from "/question.js";
import { keepPerson, person } from "/settings.js";

const at = (id) => document.getElementById(id);
const key = (name) => h("kbd", { "aria-hidden": "true" }, name);
export const field = (text, control) => h("label", {}, text, control);
export const mayDecide = () => !who().needed || ["quality", "administrator"].includes(who().role);

function typedIn(form) {
  const typed = Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, value.trim()]));
  if (typed.to === "") throw new Error(t("noChoice"));
  if (typed.why === "") throw new Error(t("noReason"));
  if (typed.who === "") throw new Error(t("noName"));
  if (typed.who) keepPerson(typed.who);
  return typed;
}

// `work` gets what was typed and answers with the sentence that says what came of it.
export function askReason({ title, about, fields = [], reason = true, note, doIt, work }) {
  const wrong = h("p", { class: "wrong", role: "alert" });
  const leave = h("button", { type: "button", "aria-keyshortcuts": "Escape" }, key("Esc"), t("leave"));
  const form = h("form", {}, h("h2", {}, title), h("p", {}, about), fields.length > 2 ? h("div", { class: "fields" }, ...fields) : "", ...(fields.length > 2 ? [] : fields),
    reason ? field(t("why"), h("input", { name: "why", type: "text", maxlength: 300, autocomplete: "off" })) : null,
    who().needed ? null : field(t("operator"), h("input", { name: "who", type: "text", maxlength: 64, value: person() })),
    h("p", { class: "small" }, note),
    h("div", { class: "choices" }, h("button", { type: "submit", class: "act", "data-act": true, "aria-keyshortcuts": "Enter" }, key("Enter"), doIt), leave), wrong,
    h("p", { class: "wrong", "data-line": true, role: "alert" }));
  const dialog = h("dialog", { "aria-label": title }, form);
  enterDoes(form);
  leave.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  let busy = false; // a second Enter is no second act
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    try {
      const sentence = await work(typedIn(form));
      dialog.close();
      at("done").replaceChildren(...spoken(sentence));
      await renew();
    } catch (trouble) {
      wrong.replaceChildren(...spoken(trouble.message));
    }
    busy = false;
  });
  document.body.append(dialog);
  showLine();
  dialog.showModal();
}
