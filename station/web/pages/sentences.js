// The station speaks English. What it says is put into the reader's language here, sentence by
// sentence; one that has no phrase stays as it is, and is marked as English where it stands.

import { h } from "/elements.js";
import { decimal, moment, withMinus } from "/local.js";
import { Phrases } from "/phrases.js";
import { language } from "/settings.js";
import { t } from "/texts.js";
import { words } from "/station_words.js";
import { leading, phrases as faults } from "/fault_phrases.js";
import { phrases as sheets } from "/sheet_phrases.js";
import { phrases as station } from "/station_phrases.js";
import { names, phrases as verdicts } from "/verdict_phrases.js";

const all = [...leading, ...verdicts, ...faults, ...station, ...sheets];
const alone = [...names, ...words];
const german = new Phrases(alone, all, { figures: decimal, moments: moment });

// "Nest 2: Load the next unit into nest 2." says its nest twice.
const once = (text) => text.replace(/^Nest (\d+): (?=.*\bnest \1\b)/, "");

export const inWords = (text) => (language() === "de" && text ? german.say(text) : withMinus(text ?? ""));
export const say = (text) => inWords(once(text));

// What stands at a key of a drawing.
export const keySaid = (key) => t("keyLine", { ...key, sentence: say(key.sentence) });

// As nodes: what stayed English says so to who listens.
export function spoken(...texts) {
  const said = texts.filter(Boolean).map(once);
  if (language() !== "de") return [withMinus(said.join(" "))];
  return said.flatMap((text, i) => [...(i ? [" "] : []), ...german.parts(text).map((part) => (part.foreign ? h("span", { lang: "en" }, part.text) : part.text))]);
}

// The English of every phrase, without what changes in it: with and without what may be missing.
export function english() {
  const bare = (text) => text.replace(/\\([[\]{}])/g, "$1").replace(/\{\w+(?::\w)?\}/g, "\u0000");
  return [...all, ...alone].flatMap(([text]) => [bare(text.replace(/(?<!\\)[[\]]/g, "")), bare(text.replace(/(?<!\\)\[(?:[^[\]\\]|\\.)*\]/g, ""))]);
}
