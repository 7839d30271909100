// Who is logged in, where the station asks for it; the proof that a call comes from a page of this
// session; and the sheet that asks for name and password.

import { h } from "/elements.js";
import { nextLanguage, nextTheme, theme } from "/settings.js";
import { t } from "/texts.js";

let session = { needed: false };
export const proof = () => session.proof ?? "";
export const who = () => session;

export async function refresh() {
  const response = await fetch("/api/session", { signal: AbortSignal.timeout(3000) });
  if (response.ok) session = await response.json();
  return session;
}

async function post(path, body) {
  const response = await fetch(path, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
  });
  const answer = await response.json();
  if (!response.ok) throw new Error([answer.error, answer.mend].filter(Boolean).join(" "));
  return answer;
}

export const first = (code, name, password) => post("/api/session/first", { code, name, password });

export const logIn = (name, password) => post("/api/session", { name, password });

export async function logOut() {
  await post("/api/session/end", {});
  location.reload();
}

// A sheet that stays until somebody is logged in. Its page is loaded anew then.
function askForLogin() {
  if (document.querySelector("dialog[data-login]")) return;
  const wrong = h("p", { class: "wrong", role: "alert" });
  const field = (name, type, text, complete) =>
    h("label", {}, text, h("input", { name, type, autocomplete: complete, maxlength: 256 }));
  const form = h("form", {}, h("h2", {}, t("logIn")), field("name", "text", t("operator"), "username"),
    field("password", "password", t("password"), "current-password"),
    h("div", { class: "choices" }, h("button", { type: "submit", class: "act", "aria-keyshortcuts": "Enter" }, h("kbd", { "aria-hidden": "true" }, "Enter"), t("logIn"))), wrong);
  const dialog = h("dialog", { "data-login": true, "aria-label": t("logIn") }, form);
  dialog.addEventListener("cancel", (event) => event.preventDefault());
  // The page's own controls are out of reach under this sheet.
  const look = [["F9", () => t("language"), () => { nextLanguage(); location.reload(); }], ["F10", () => t("theme", { theme: t(theme()) }), () => { nextTheme(); showLook(); }]];
  const showLook = () => looks.replaceChildren(...look.map(([key, text, work]) => h("button", { type: "button", "aria-keyshortcuts": key, onclick: work }, h("kbd", { "aria-hidden": "true" }, key), text())));
  const looks = h("div", { class: "choices" });
  showLook();
  dialog.append(looks);
  dialog.addEventListener("keydown", (event) => {
    const pressed = look.find(([key]) => key === event.key);
    if (!pressed) return;
    event.preventDefault();
    pressed[2]();
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = [...form.querySelectorAll("input")], at = fields.indexOf(document.activeElement);
    if (at === 0 && !fields[1].value) return fields[1].focus();
    try {
      await logIn(fields[0].value.trim(), fields[1].value);
      location.reload();
    } catch (trouble) {
      wrong.textContent = trouble.message;
      fields[1].select();
    }
  });
  document.body.append(dialog);
  dialog.showModal();
}

// True when the page may go on.
export async function admitted() {
  const { needed, name } = await refresh();
  if (!needed || name) return true;
  askForLogin();
  return false;
}
