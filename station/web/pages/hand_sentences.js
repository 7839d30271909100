// What the station says about work by hand, steps alone and a recipe's right, in German; a part of
// sentences.js.

const acts = [
  [/^The finger homes$/, "Der Finger macht seine Referenzfahrt"], [/^The finger is lifted$/, "Der Finger wird gehoben"],
  [/^The finger makes a step$/, "Der Finger macht einen Schritt"], [/^Every reference off$/, "Jede Referenz aus"],
  [/^The finger goes over key (.*) of nest (\d+), at the safe height$/, "Der Finger fährt über Taste $1 von Nest $2, auf sicherer Höhe"],
  [/^(.*) on nest (\d+), channel (\d+) on$/, "$1 an Nest $2, Kanal $3 ein"],
];

export const de = [
  ...acts,
  ...acts.map(([pattern, german]) => [new RegExp(`${pattern.source.slice(0, -1)}: done\\.$`), `${german}: fertig.`]),
  [/^Every relay is open\. Nothing has moved\.$/, "Jedes Relais ist offen. Bewegt hat sich nichts."],
  [/^The finger stands at X (.*), Y (.*), Z (.*) mm\.$/, "Der Finger steht bei X $1, Y $2, Z $3 mm."],
  [/^The finger does not know its place\. Home it first\.$/, "Der Finger kennt seinen Ort nicht. Erst Referenzfahrt."],
  [/^Nothing was heard from the person for (\d+) s, so the finger may not move any more\.$/,
    "Seit $1 s war von niemandem etwas zu hören: der Finger darf sich nicht mehr bewegen."],
  [/^Given back by (.*)\.$/, "Zurückgegeben von $1."], [/^Stopped by (.*)\.$/, "Angehalten von $1."],
  [/^(.*) works on the fixture by hand\.(?: Wait until it is given back\.)?$/, "$1 arbeitet von Hand an der Aufnahme."],
  [/^A step is (\d+) mm at most along each axis\.$/, "Ein Schritt ist höchstens $1 mm je Achse."],
  [/^The step would leave the finger's travel .*$/, "Der Schritt führte aus dem Weg des Fingers hinaus. Er wurde nicht gemacht."],
  [/^The finger would end below the panel's surface .*$/, "Der Finger käme unter die Oberfläche des Feldes. Er wurde nicht bewegt."],
  [/^The fixture has no finger\.$/, "Die Aufnahme hat keinen Finger."],
  [/^The profile has no finger\.stop: .*$/, "Das Profil hat kein finger.stop: eine abgelaufene Frist könnte keinen Weg beenden."],
  [/^Step "(.*)" writes to the unit, .*$/, "Schritt \u201e$1\u201c schreibt ins Teil, und ein Schritt allein misst nur. Das ganze Rezept ausführen."],
  [/^Step "(.*)" looks at what was written before, .*$/, "Schritt \u201e$1\u201c sieht nach, was vorher geschrieben wurde, und allein ist nichts geschrieben. Das ganze Rezept ausführen."],
  [/^Step "(.*)" looks at nothing, .*$/, "Schritt \u201e$1\u201c sieht nichts an und zeigte also nichts. Einen anderen wählen."],
  [/^Released by (.*) on (.*) \(release (\d+)\)\.$/, "Freigegeben von $1 am $2 (Freigabe $3)."],
  [/^Deviation permit (\d+), (.*), by (.*): (\d+) units? left, until (.*?)\.$/, "Erlaubte Abweichung $1, $2, von $3: noch $4 Teile, bis $5."],
  [/^It is released: no permit is needed\.$/, "Er ist freigegeben: eine Erlaubnis braucht es nicht."],
  [/^Release (\d+): plan (\w+) runs in production from now on\.$/, "Freigabe $1: Plan $2 läuft von jetzt an in der Fertigung."],
  [/^Release (\d+) is withdrawn\. .*$/, "Freigabe $1 ist zurückgezogen. Auf ihr beginnt nichts mehr; ein laufendes Los geht zu Ende."],
  [/^Permit (\d+) lets the plan through until its end\.$/, "Erlaubnis $1 lässt den Plan bis zu ihrem Ende durch."],
  [/^pins of nest (\d+)$/, "Stifte von Nest $1"], [/^supply of nest (\d+)$/, "Versorgung von Nest $1"],
  [/^handler of nest (\d+)$/, "Zuführung von Nest $1"], [/^port of nest (\d+)$/, "Anschluss von Nest $1"],
  [/^(.*) on nest (\d+), channel (\d+)$/, "$1 an Nest $2, Kanal $3"],
];
