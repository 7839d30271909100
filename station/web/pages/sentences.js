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
  [/^Close the guard, hands out; then a lot can start\.$/, "Schutztür schließen, Hände heraus; dann kann ein Los starten."],
  [/^Release the emergency stop once nobody is in danger; then a lot can start\.$/,
    "Not-Halt lösen, sobald niemand in Gefahr ist; dann kann ein Los starten."],
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
  [/^Keep in quarantine: keep it apart, do not ship it\.$/, "Gesperrt lassen: getrennt aufbewahren, nicht ausliefern."],
  [/^(Keep in quarantine: .*? ship it\.) (.*)$/, (_, keep, rest) => `${say(keep)} ${say(rest)}`],
  [/^It was written to and is not proven\.$/, "Es wurde beschrieben, aber nicht nachgewiesen."],
  [/^Its trims are not proven\.$/, "Seine Abgleichwerte sind nicht nachgewiesen."],
  [/^Check the unit's memory\.$/, "Speicher des Teils prüfen."],
  [/^Trims lost at power-off: the unit holds those it came with\.$/, "Abgleichwerte beim Ausschalten verloren: das Teil hat wieder die, mit denen es kam."],
  [/^Trims lost at power-off: the unit holds others than were written\.$/, "Abgleichwerte beim Ausschalten verloren: das Teil hat andere als geschrieben."],
  [/^(\d+) checks? holds?\.$/, "$1 Prüfpunkte gehalten."],
  [/^(\d+) checks? holds?; the smallest margin is (\S+) \((.*) at (.*)\)\.$/, "$1 Prüfpunkte gehalten; die kleinste Reserve ist $2 ($3 bei $4)."],
  [/^The fixture profile names no check standards: .*$/, "Das Profil der Aufnahme nennt keine Prüfnormale: zwischen zwei Kalibrierungen sieht niemand, ob die Station noch misst wie zuvor."],
  [/^The unit passed in lot (.*) on (\S+) already\. Take it out, or start a lot that runs passed units again\.$/,
    "Das Teil war in Los $1 am $2 schon gut. Herausnehmen, oder ein Los starten, das gute Teile noch einmal prüft."],
  [/^Have the plan released\.$/, "Den Plan freigeben lassen."],
  [/^Recipe (.*) revision (\S+) \(plan (\S+)\) is not released in these records\. (.*)$/,
    (_, recipe, revision, plan, rest) => `Rezept ${recipe}, Stand ${revision} (Plan ${plan}), ist in diesen Aufzeichnungen nicht freigegeben. ${say(rest)}`],
  [/^Who may do so releases it on the page Plan and margins \(\/plan, F6\)\. Or run it as a draft, which marks every result\.$/,
    "Wer es darf, gibt ihn auf der Seite Plan und Reserven frei (/plan, F6). Oder als Entwurf laufen lassen: jedes Ergebnis wird gekennzeichnet."],
  [/^It differs from release (\d+) \(revision (\S+)\) by (\d+) changes?\. (.*)$/,
    (_, release, revision, changes, rest) => `Er weicht an ${changes} Stellen von Freigabe ${release} (Stand ${revision}) ab. ${say(rest)}`],
  [/^Released by (.*) on (\S+) \(release (\d+)\)\.$/, "Freigegeben von $1 am $2 (Freigabe $3)."],
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
