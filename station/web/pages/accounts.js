// The administrator's page: who has a login, with which role. The first one is made with the code
// that the daemon printed.

import { h, keyCap, numberKey, numberPressed } from "/elements.js";
import { ask, tell } from "/calls.js";
import { t } from "/texts.js";
import { spoken } from "/sentences.js";
import { admitted, first, logIn, logOut, who } from "/session.js";
import { language } from "/settings.js";
import { footBar, sheet as dialog } from "/bar.js";

const at = (id) => document.getElementById(id);
const roles = ["operator", "engineer", "quality", "administrator"];
const row = (...cells) => h("tr", {}, ...cells);
const field = (name, type, text) =>
  h("label", {}, text, h("input", { name, type, autocomplete: "off", maxlength: 256 }));
const enter = (text) =>
  h("button", { type: "submit", class: "act", "aria-keyshortcuts": "Enter" }, h("kbd", { "aria-hidden": "true" }, "Enter"), text);

async function attempt(work) {
  at("trouble").textContent = "";
  try {
    await work();
    await show();
  } catch (trouble) {
    at("trouble").replaceChildren(...spoken(trouble.message));
  }
}

// A login is gone for good, and whoever has it is logged out: asked before.
const askRemove = (name) => dialog(t("removeLogin", { name }), t("removeAsk", { name }), [], t("removeDo"), async () => {
  await tell("/api/accounts/remove", { name });
  await attempt(async () => {});
});
document.addEventListener("keydown", (event) => {
  if (event.key === "F4" && !event.repeat && at("log-out") && !document.querySelector("dialog[open]")) {
    event.preventDefault();
    return at("log-out").click();
  }
  const number = numberPressed(event);
  if (!number || document.querySelector("dialog[open]")) return;
  event.preventDefault();
  document.querySelector(`[data-remove][aria-keyshortcuts="${number}"]`)?.click();
});

function form(parts, send) {
  const made = h("form", { class: "sheet" }, ...parts);
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    attempt(() => send(Object.fromEntries(new FormData(made))));
  });
  return made;
}

const firstForm = () => form(
  [field("code", "text", t("code")), field("name", "text", t("operator")), field("password", "password", t("newPassword")), enter(t("setLogin"))],
  async ({ code, name, password }) => {
    await first(code.trim(), name.trim(), password);
    await logIn(name.trim(), password);
  });

const loginForm = () => form(
  [field("name", "text", t("loginName")), h("label", {}, t("role"), h("select", { name: "role" }, ...roles.map((role) => h("option", { value: role }, t(`role ${role}`))))),
    field("password", "password", t("newPassword")), enter(t("setLogin"))],
  ({ name, role, password }) => tell("/api/accounts", { name: name.trim(), role, password }));

async function show() {
  if (!(await admitted())) return;
  const here = who();
  at("tell").textContent = here.needed ? t("loggedIn", { name: here.name, role: t(`role ${here.role}`) }) : t("nobodyYet");
  if (!here.needed) return at("logins").replaceChildren(firstForm());
  const out = h("p", {}, h("button", { type: "button", id: "log-out", "aria-keyshortcuts": "F4", onclick: logOut }, h("kbd", { "aria-hidden": "true" }, "F4"), t("logOut")));
  if (here.role !== "administrator") return at("logins").replaceChildren(h("p", {}, t("notYours")), out);
  const { accounts } = await ask("/api/accounts");
  // The first nine rows have their number as a key.
  const rows = accounts.map(({ name, role }, i) => row(h("td", {}, name), h("td", {}, t(`role ${role}`)), h("td", {},
    h("button", { type: "button", "data-remove": i + 1, "aria-keyshortcuts": numberKey(i + 1), onclick: () => askRemove(name) }, keyCap(numberKey(i + 1)), t("removeLogin", { name })))));
  at("logins").replaceChildren(h("table", {}, h("thead", {}, row(h("th", { scope: "col" }, t("loginName")), h("th", { scope: "col" }, t("role")), h("td", {}))), h("tbody", {}, ...rows)),
    h("h2", {}, t("setLogin")), loginForm(), out);
}

footBar();
document.documentElement.lang = language();
at("back").textContent = t("back");
at("heading").textContent = document.title = t("logins");
attempt(async () => {});
