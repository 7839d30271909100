// An engineer says that a relay, pins or a tip were replaced: cautions first, then which, why and who.

import { h } from "/elements.js";
import { tell } from "/calls.js";
import { sheet as dialog } from "/bar.js";
import { say } from "/sentences.js";
import { who } from "/session.js";
import { keepPerson, person } from "/settings.js";
import { t } from "/texts.js";

const field = (text, control) => h("label", {}, text, control);

// `done` gets the sentence that says what came of it.
export function askReplaced(contacts, done) {
  const named = who().needed;
  const read = h("label", { class: "tick-box" }, h("input", { type: "checkbox", name: "read" }), t("replacedRead"));
  dialog(t("replacedTitle"), t("replacedCaution"), [h("p", {}, t("replacedAsk")),
    field(t("replacedWhich"), h("select", { name: "coil" }, ...contacts.map((one) => h("option", { value: one.coil }, `${say(one.use)} (${t("coil")} ${one.coil})`)))),
    read, field(t("why"), h("input", { type: "text", name: "why", maxlength: 300, autocomplete: "off" })),
    named ? null : field(t("operator"), h("input", { type: "text", name: "who", value: person(), maxlength: 64 }))], t("replaceIt"), async (typed) => {
    const why = typed.why.trim(), by = typed.who?.trim();
    if (!typed.read) throw new Error(t("handReadFirst"));
    if (!why) throw new Error(t("noWhy"));
    if (!named && !by) throw new Error(t("noName"));
    if (by) keepPerson(by);
    const { sentence } = await tell("/api/fixture/replaced", { coil: Number(typed.coil), cautions_read: true, why, ...(by ? { who: by } : {}) });
    await done(sentence);
  });
}
