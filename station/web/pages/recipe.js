// What becomes of the station's recipe: by what right it runs, what changed, what was released and
// permitted by whom, when and why; and an engineer's decisions about it.

import { h, keyCap, numberKey } from "/elements.js";
import { ask, tell } from "/calls.js";
import { sheet as dialog } from "/bar.js";
import { t } from "/texts.js";
import { toMinute as minute } from "/local.js";
import { say, spoken } from "/sentences.js";
import { who } from "/session.js";
import { keepPerson, person } from "/settings.js";
import { table } from "/run_tables.js";

const keyOf = (name) => h("kbd", { "aria-hidden": "true" }, name);
const mayDecide = () => !who().needed || ["engineer", "administrator"].includes(who().role);
const row = (...cells) => h("tr", {}, ...cells);
const cell = (text, figure) => h("td", { class: figure ? "figure" : null }, text);

// A sheet that asks for who and why, and what else this decision needs.
function decide(name, text, fields, path, body, renew) {
  const named = who().needed;
  const field = (key, label, value = "") => h("label", {}, label, h("input", { type: "text", name: key, value, maxlength: 300, autocomplete: "off" }));
  dialog(name, text, [...fields.map(([key, label]) => field(key, label)), field("why", t("why")), named ? null : field("who", t("operator"), person())].filter(Boolean), name, async (typed) => {
    const said = Object.fromEntries(Object.entries(typed).map(([key, value]) => [key, value.trim()]).filter(([, value]) => value));
    if (!named && !said.who) throw new Error(t("noName"));
    if (!said.why) throw new Error(t("noWhy"));
    if (said.who) keepPerson(said.who);
    if (said.quantity !== undefined) {
      if (!/^\d{1,7}$/.test(said.quantity)) throw new Error(t("noUnits"));
      said.quantity = Number(said.quantity);
    }
    const { sentence } = await tell(path, { ...body, ...said });
    await renew(say(sentence));
  });
}

export const changesTable = (changes) => table([t("change"), t("inDocument"), t("beforeIt"), t("afterIt")],
  changes.map((one) => row(h("td", {}, ...spoken(one.sentence)), cell([one.document, one.place].filter(Boolean).join(", ")), cell(one.before), cell(one.after))));

function changesOf(recipe) {
  if (recipe.before === null) return h("p", {}, t("noBefore"));
  if (!recipe.changes.length) return h("p", {}, t("noChanges", { n: recipe.before }));
  return h("div", {}, h("h3", {}, t("changesSince", { n: recipe.before })), changesTable(recipe.changes));
}

export function askRelease(recipe, renew) {
  decide(t("releaseIt"), t("releaseAsk", { hash: recipe.plan_hash.slice(0, 12) }), [], "/api/recipe/release", {}, renew);
}
export function askPermit(renew) {
  decide(t("permitIt"), t("permitAsk"), [["name", t("permitName")], ["until", t("permitUntil")], ["quantity", t("permitUnits")]], "/api/recipe/permit", {}, renew);
}

// By what right, what changed, and what may be decided now.
export function recipePart(recipe, renew) {
  const button = (key, words, refusal, act) => h("button", { type: "button", "aria-keyshortcuts": key, disabled: refusal !== "", onclick: act }, keyOf(key), words);
  const acts = mayDecide()
    ? h("div", { class: "choices" }, button("F6", t("releaseIt"), recipe.no_release, () => askRelease(recipe, renew)), button("F7", t("permitIt"), recipe.no_permit, () => askPermit(renew)))
    : h("p", {}, t("notYourRelease"));
  const why = [...new Set([recipe.no_release, recipe.no_permit])].filter((one) => one && one !== recipe.standing);
  return [h("p", {}, `${recipe.recipe}, ${t("revision", { revision: recipe.revision })}. `, ...spoken(recipe.standing)), changesOf(recipe), acts,
    ...(mayDecide() ? why.map((one) => h("p", { class: "small" }, ...spoken(one))) : [])];
}

// What changed from the release before it of the same recipe and product: asked when it is opened.
function sinceBefore(release, releases) {
  const before = releases.find((one) => one.release < release.release && one.recipe === release.recipe && one.product === release.product);
  if (!before) return h("span", { class: "small" }, t("firstOfIts"));
  const details = h("details", {}, h("summary", {}, t("whatChanged", { n: before.release })));
  details.addEventListener("toggle", async () => {
    if (!details.open || details.children.length > 1) return;
    try {
      const { changes } = await ask(`/api/changes?before=${before.release}&after=${release.release}`);
      details.append(changes.length ? h("ul", {}, ...changes.map((one) => h("li", {}, ...spoken(one.sentence)))) : h("p", {}, t("noChanges", { n: before.release })));
    } catch (trouble) {
      details.append(h("p", {}, ...spoken(trouble.message)));
    }
  });
  return details;
}

export function releasesPart({ releases }, renew) {
  if (!releases.length) return h("p", {}, t("noRelease"));
  const inForce = releases.filter((one) => !one.withdrawn); // the first nine have their place as a key
  const keyOfRelease = (one) => numberKey(inForce.indexOf(one) + 1);
  const withdraw = (one) => decide(t("withdrawIt", { n: one.release }), t("withdrawAsk", { n: one.release }), [], "/api/recipe/withdraw", { release: one.release }, renew);
  const state = (one) => (one.withdrawn ? h("td", {}, t("withdrawn", { at: minute(one.withdrawn) }))
    : h("td", {}, t("inForce"), " ", mayDecide() ? h("button", { type: "button", class: "small", "aria-keyshortcuts": keyOfRelease(one), onclick: () => withdraw(one) }, keyCap(keyOfRelease(one)), t("withdrawIt", { n: one.release })) : ""));
  return table([t("number"), t("recipe"), t("revisionHead"), t("product"), t("fixture"), t("when"), t("who"), t("why"), t("change"), t("state")],
    releases.map((one) => row(cell(String(one.release), true), cell(one.recipe), cell(one.recipe_revision), cell(one.product), cell(one.fixture),
      cell(minute(one.at)), cell(one.who), cell(one.why), h("td", {}, sinceBefore(one, releases)), state(one))));
}

export function permitsPart({ permits }) {
  if (!permits.length) return h("p", {}, t("noPermits"));
  const units = (one) => (one.quantity ? `${one.used} / ${one.quantity}` : String(one.used));
  return table([t("permitHead"), t("recipe"), t("revisionHead"), t("untilHead"), t("usedHead"), t("when"), t("who"), t("why"), t("change"), t("state")],
    permits.map((one) => row(cell(`${one.permit} ${one.name}`), cell(one.recipe), cell(one.recipe_revision), cell(one.until ? minute(one.until) : "–"), cell(units(one), true),
      cell(minute(one.at)), cell(one.who), cell(one.why), h("td", {}, h("ul", {}, ...one.changes.map((change) => h("li", {}, ...spoken(change))))), cell(one.over ? say(one.over) : t("open")))));
}
