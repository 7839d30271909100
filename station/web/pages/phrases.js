// What the station says, by phrases: an English sentence with places for what changes in it, and the
// same in another language. Pure; what a place takes:
//   {x}    as it is, within one sentence        {x:n}  a whole number
//   {x:d}  a number                             {x:f}  figures: numbers, units, limits
//   {x:t}  a day or a moment, without its Z
//   {x:w}  words that have a phrase of their own, {x:g} as many of them as can be
//   {x:l}  a list of such, with "; "
//   {x:s}  the rest: whole sentences
// [ ] may be missing; in the other language such a part stands when its places do. \ takes the
// meaning from [ ] { }.

const word = "(?:(?!\\. [A-Z0-9]).)+", within = `${word}?`;
const shapes = { "": within, n: "\\d+", d: "[-+\u2212]?\\d[\\d.]*(?:e[-+]?\\d+)?", f: within, t: "\\d{4}-\\d\\d-\\d\\d(?:[T ][\\d:.]+)?", w: within, g: word, l: within, s: ".+?" };
const token = /\\([[\]{}])|\{(\w+)(?::(\w))?\}|[[\]]|[^\\[\]{}]+/g;
const quoted = (text) => text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");

function patternOf(phrase) {
  const places = [];
  const source = phrase.replace(token, (whole, plain, name, kind = "") => {
    if (plain) return quoted(plain);
    if (name) { places.push({ name, kind }); return `(${shapes[kind]})`; }
    if (whole === "[") return "(?:";
    return whole === "]" ? ")?" : quoted(whole);
  });
  return { begin: /^[^\\[\]{}]*/.exec(phrase)[0], pattern: new RegExp(`^${source}$`, "s"), places };
}

// So many sentences are looked at together, where the whole text has no phrase: a long text of a
// person's would else keep the page busy.
const together = 8;

// A text in parts: { text, foreign }, foreign where there was no phrase for it.
const part = (text, foreign = false) => ({ text, foreign });

// A text that is the same in every language: a name, a number, a serial.
const isName = (text) => (text.match(/[A-Za-z]{2,}/g) ?? []).length < 3;

export class Phrases {
  #words; #phrases; #forms; #known = new Map();

  // `words`: [English, German] that stand alone; `phrases`: likewise, with places; `forms`: how
  // figures and moments are written.
  constructor(words, phrases, forms) {
    this.#words = new Map(words);
    this.#phrases = phrases.map(([english, other]) => ({ ...patternOf(english), other }));
    this.#forms = forms;
  }

  // Of one text: its parts, or null where no phrase is like it.
  #whole(text) {
    const word = this.#words.get(text) ?? this.#words.get(text.charAt(0).toLowerCase() + text.slice(1));
    if (word !== undefined) return [part(word)];
    if (/^[^A-Za-z]*$/.test(text)) return [part(this.#forms.figures(text))];
    for (const { begin, pattern, places, other } of this.#phrases) {
      const found = text.startsWith(begin) && pattern.exec(text);
      if (found) return this.#filled(other, places, found.slice(1));
    }
    return null;
  }

  #filled(other, places, values) {
    const given = new Map(places.map(({ name, kind }, i) => [name, { kind, value: values[i] }]).filter(([, one]) => one.value !== undefined));
    const there = other.replace(/(?<!\\)\[((?:[^[\]\\]|\\.)*)\]/g, (_, inner) =>
      ([...inner.matchAll(/\{(\w+)\}/g)].every(([, name]) => given.has(name)) ? inner : ""));
    return there.split(/(?<!\\)\{(\w+)\}/).flatMap((piece, i) => {
      if (i % 2 === 0) return piece ? [part(piece.replace(/\\([[\]{}])/g, "$1"))] : [];
      const { kind, value } = given.get(piece);
      return this.#valued(kind, value);
    });
  }

  #valued(kind, value) {
    if (kind === "w" || kind === "g" || kind === "s") return this.parts(value);
    if (kind === "l") return value.split("; ").flatMap((one, i) => [...(i ? [part("; ")] : []), ...this.parts(one)]);
    if (kind === "t") return [part(this.#forms.moments(value))];
    return [part(kind === "f" || kind === "d" ? this.#forms.figures(value) : value)];
  }

  parts(text) {
    if (!this.#known.has(text)) {
      if (this.#known.size > 3000) this.#known.clear();
      this.#known.set(text, this.#asked(text));
    }
    return this.#known.get(text);
  }

  // The whole; else sentence by sentence, the longest run that has a phrase first.
  #asked(text) {
    const one = this.#whole(text);
    if (one) return one;
    const sentences = text.split(/(?<=[.?!]) (?=\S)/);
    const parts = [];
    for (let begin = 0; begin < sentences.length;) {
      let end = Math.min(sentences.length, begin + together), found = null;
      for (; end > begin && !found; --end) found = this.#whole(sentences.slice(begin, end).join(" "));
      if (begin > 0) parts.push(part(" "));
      if (found) parts.push(...found);
      else parts.push(part(sentences[begin], !isName(sentences[begin])));
      begin = found ? end + 1 : begin + 1;
    }
    return parts;
  }

  say(text) { return this.parts(text).map((one) => one.text).join(""); }
}
