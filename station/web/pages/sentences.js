// The station speaks English; what it says most often is put into the reader's language here. What
// is not in the table stays as it is.

import { language } from "/settings.js";
import { de as byHand } from "/hand_sentences.js";

const de = [
  ...byHand,
  [/^Nest (\d+): (.*)$/, (_, n, rest) => `Nest ${n}: ${say(rest)}`],
  [/^(.*) Answer yes or no\.$/, (_, rest) => `${say(rest)} Ja oder nein?`],
  [/^Start a lot\.$/, "Ein Los starten."],
  [/^Wait for the next unit\.$/, "Auf das nächste Teil warten."],
  [/^Have the station checked\.$/, "Die Station prüfen lassen."],
  [/^Guard or emergency stop is open\. Close it, hands out, then press Enter once more\.$/,
    "Schutztür oder Not-Halt ist offen. Schließen, Hände heraus, dann noch einmal Enter."],
  [/^Load the next unit into nest (\d+)\.$/, "Das nächste Teil in Nest $1 legen."],
  [/^Scan the next unit\.$/, "Das nächste Teil scannen."],
  [/^Set aside\. (.*)$/, (_, rest) => `Abseits legen. ${say(rest)}`],
  [/^Set aside\.$/, "Abseits legen."],
  [/^Run it once more, then ask the engineer\.$/, "Noch einmal prüfen, dann den Ingenieur fragen."],
  [/^Ask the engineer\.$/, "Den Ingenieur fragen."],
  [/^Seat the unit in its nest again, then run it once more\.$/, "Neu einlegen und noch einmal prüfen."],
  [/^Check (?:the )?glue at (.*)\.$/, "Kleber bei $1 prüfen."],
  [/^Check (?:the )?electrode at (.*)\.$/, "Elektrode bei $1 prüfen."],
  [/^Check pin, connector and electrode at (.*)\.$/, "Stift, Stecker und Elektrode bei $1 prüfen."],
  [/^Check electrode and connector at (.*)\.$/, "Elektrode und Stecker bei $1 prüfen."],
  [/^Check electrode, glue and overlay at (.*)\.$/, "Elektrode, Kleber und Deckglas bei $1 prüfen."],
  [/^Check the label\.$/, "Etikett prüfen."],
  [/^Check the unit's supply\.$/, "Versorgung des Teils prüfen."],
  [/^Check cable and connector\.$/, "Kabel und Stecker prüfen."],
  [/^Keep it in quarantine; (.*)$/, "Gesperrt lassen: es wurde beschrieben, aber nicht nachgewiesen."],
  [/^Run the unit again\.$/, "Das Teil noch einmal prüfen."],
  [/^Mend the fault, then run the unit again\.$/, "Störung beheben, dann das Teil noch einmal prüfen."],
];

// "Nest 2: Load the next unit into nest 2." says its nest twice.
const once = (text) => text.replace(/^Nest (\d+): (?=.*\bnest \1\b)/, "");

export function say(text) {
  const sentence = once(text);
  if (language() !== "de") return sentence;
  for (const [pattern, german] of de) {
    if (pattern.test(sentence)) return sentence.replace(pattern, german);
  }
  return sentence;
}
