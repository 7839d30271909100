// The texts of C++ sources: string literals, adjacent ones joined, without what belongs to formatting.

import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";

const literal = /"((?:[^"\\\n]|\\.)*)"/g;
const plain = (text) => text.replace(/\\(["\\'])/g, "$1").replace(/\\u00a0/g, "\u00a0").replace(/\\n/g, "\n");

// Comments go, but not those within a literal; character and raw literals hold no sentence.
const code = (source) => source
  .replace(/R"(\w*)\([\s\S]*?\)\1"/g, '""')
  .replace(/"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)'|\/\/[^\n]*|\/\*[\s\S]*?\*\//g, (one) => (one[0] === '"' ? one : " "))
  .replace(/^\s*#.*$/gm, "");

export function textsOf(source) {
  return [...code(source).matchAll(/"(?:[^"\\\n]|\\.)*"(?:\s*"(?:[^"\\\n]|\\.)*")*/g)]
    .map(([run]) => plain([...run.matchAll(literal)].map(([, inner]) => inner).join("")));
}

// Pieces of sentences that stand between values: split where a value is formatted in, and where a
// sentence ends.
export const piecesOf = (text) => text.split(/\{[^{}]*\}|%[-+ #0-9.*]*(?:ll|l|z)?[a-zA-Z]|\n|(?<=[.?!]) (?=[A-Z])/).map((piece) => piece.replace(/^[\s.,;:'")]+/, "").trim())
  .filter((piece) => (piece.match(/[A-Za-z]{2,}/g) ?? []).length >= 2);

export function sourcesIn(root, folder, without = []) {
  return readdirSync(join(root, folder)).filter((name) => /\.[ch]pp$/.test(name) && !without.includes(name.replace(/\.[ch]pp$/, "")))
    .map((name) => ({ name: `${folder}/${name}`, source: readFileSync(join(root, folder, name), "utf8") }));
}
