// What the station's figures and tables say, in the reader's language: words that stand alone, then
// sentences with values in them. What is not here is shown as the station says it.

import { language } from "/settings.js";
import { say } from "/sentences.js";

const words = new Map(Object.entries({
  "units": "Teile", "unit": "Teil", "first-pass yield": "gut beim ersten Mal", "First-pass yield": "Gut beim ersten Mal", "final yield": "gut am Ende",
  "tried again": "noch einmal geprüft", "recovered": "dann gut", "no verdict": "kein Urteil", "all": "alle", "What retests recover": "Was Wiederholungen retten",
  "nest or check": "Nest oder Prüfpunkt", "rejected first": "zuerst abgewiesen", "share": "Anteil", "others": "die anderen", "rejects good units?": "weist gute ab?",
  "What fails first": "Was zuerst versagt", "running share": "Summe der Anteile", "running": "aufsummiert", "check and key": "Prüfpunkt und Taste",
  "Rolled throughput yield: every check passed at the first try": "Durchlaufausbeute: jeder Prüfpunkt beim ersten Mal erfüllt", "checks": "Prüfpunkte",
  "rolled yield": "Durchlaufausbeute", "mean yield of a check": "mittlere Ausbeute eines Prüfpunkts", "defects a unit": "Fehler je Teil", "failed checks a unit": "nicht erfüllte Prüfpunkte je Teil", "least yield": "kleinste Ausbeute",
  "Where units fail": "Wo Teile versagen", "key": "Taste", "check": "Prüfpunkt", "stage": "Zustand", "rejected units": "abgewiesene Teile",
  "units that failed it": "Teile, die es nicht erfüllten", "(the unit)": "(das Teil)", "as found": "wie vorgefunden", "as left": "wie hinterlassen",
  "where": "wo", "values": "Werte", "mean": "Mittel", "deviation": "Streuung", "limits": "Grenzen", "outside, ppm": "außerhalb, ppm", "model": "Modell", "least Ppk": "kleinstes Ppk",
  "middle of the bin": "Mitte der Klasse", "low": "unten", "high": "oben", "in the order they came": "in der Reihenfolge ihres Kommens",
  "lower limit": "untere Grenze", "upper limit": "obere Grenze", "value": "Wert", "moving range": "gleitende Spannweite", "range": "Spannweite", "unit or lot": "Teil oder Los",
  "at": "wann", "signal": "Signal", "signals": "Signale", "points": "Punkte", "centre": "Mitte", "what": "was", "points to a false alarm": "Punkte bis zum Fehlalarm", "steady": "ruhig",
  "lots": "Lose", "lot": "Los", "begun": "begonnen", "product": "Produkt", "station, by its check standards": "Station, nach ihren Prüfnormalen",
  "standard uncertainty": "Standardunsicherheit", "mean of a lot": "Mittel eines Loses", "levels of a step": "Höhen eines Sprungs",
  "Standard deviations by analysis of variance; ranges beside it": "Streuungen nach Varianzanalyse; daneben nach Spannweiten", "repeatability": "Wiederholung",
  "between appraisers": "zwischen den Messenden", "interaction": "Wechselwirkung", "measuring": "Messen", "by ranges": "nach Spannweiten", "of the study": "der Studie",
  "categories": "Klassen", "2 U of tolerance": "2 U der Toleranz", "fit": "geeignet", "pooled": "zusammengelegt", "One unit, again and again": "Ein Teil, immer wieder", "readings": "Messungen",
  "bias, 95 % interval": "Abweichung, 95-%-Bereich", "appraiser": "wer misst", "repetition": "Wiederholung", "Measured so far": "Bisher gemessen", "missing": "es fehlen",
  "Units in doubt": "Teile im Zweifel", "verdict would change": "Urteil wäre anders", "YES": "JA", "no": "nein", "station": "Station", "nest": "Nest", "attempt": "Versuch", "began": "begonnen",
  "verdict": "Urteil", "disposition": "was daraus wird", "recipe": "Rezept", "revision": "Stand", "fixture": "Aufnahme", "run": "Lauf", "why": "warum", "next": "weiter",
  "How far the check standards stood from their centres": "Wie weit die Prüfnormale von ihrer Mitte standen", "channel": "Kanal", "frequency": "Frequenz", "possible error": "möglicher Fehler",
  "standards": "Normale", "beyond its limits": "jenseits der Grenzen", "decided by": "entschieden von", "the station": "die Station", "What becomes of units": "Was aus Teilen wird",
  "pass": "gut", "fail": "schlecht", "inconclusive": "unentschieden", "quarantined": "gesperrt", "released": "freigegeben", "rework": "Nacharbeit", "scrap": "Ausschuss", "undecided": "unentschieden",
  "removed": "entnommen", "loaded": "geladen", "The lot as a tape": "Das Los als Band", "Every unit that was loaded": "Jedes geladene Teil", "What did not pass, and what to do": "Was nicht gut war, und was zu tun ist", "which": "welche",
  "Units in the order they came, ten to a group.": "Teile in der Reihenfolge ihres Kommens, zehn je Gruppe.", "The lot is still open.": "Das Los ist noch offen.", "DRAFT: not for production.": "ENTWURF: nicht für die Fertigung.",
  "gain": "Verstärkung", "offset": "Nullwert", "Limits are from all points shown.": "Die Grenzen kommen aus allen gezeigten Punkten.", "No stored value answers to that.": "Dazu ist kein Wert gespeichert.", "No finished unit answers to that.": "Dazu gibt es kein fertiges Teil.",
  "No unit answers to that.": "Dazu gibt es kein Teil.", "No check with a limit has values for that.": "Dazu hat kein Prüfpunkt mit Grenzen Werte.", "No shift check has found this station wrong.": "Keine Schichtprüfung fand diese Station falsch.",
  "Brackets: 95 % interval (Wilson). Units without a verdict count neither way.": "Klammern: 95-%-Bereich (Wilson). Teile ohne Urteil zählen in keine Richtung.",
  "The least Ppk of each key; the denser the hatching, the less. Broken outline: below 1.33. Dotted: no index.": "Das kleinste Ppk jeder Taste; je dichter schraffiert, desto kleiner. Gestrichelt: unter 1,33. Punktiert: kein Index.",
  "Of each key the channel and frequency with most signals. Broken frame: a rule signals. Dotted: no chart.": "Von jeder Taste Kanal und Frequenz mit den meisten Signalen. Gestrichelter Rahmen: eine Regel meldet sich. Punktiert: keine Karte.",
  "How often these rules call a false alarm is not known.": "Wie oft diese Regeln falsch melden, ist nicht bekannt.", "Read the result: the study is whole.": "Das Ergebnis lesen: die Studie ist vollständig.",
  "Choose ten units that differ as the line's do, and run them as a lot that only measures.": "Zehn Teile wählen, die sich unterscheiden wie die der Linie, und als Los laufen lassen, das nur misst.",
  "Categories: how many groups of units the measuring tells apart; 5 or more are common practice. Fit: 2 U is at most 30 % of the tolerance (ISO 22514-7).": "Klassen: wie viele Gruppen von Teilen das Messen unterscheidet; üblich sind 5 oder mehr. Geeignet: 2 U ist höchstens 30 % der Toleranz (ISO 22514-7).",
  "Run a lot: these records hold none that answers to that.": "Ein Los laufen lassen: dazu steht keines in diesen Aufzeichnungen.",
  "no drift that could be told": "keine Drift zu erkennen", "too few lots to tell: 8 are needed": "zu wenige Lose: 8 werden gebraucht", "too few days to tell: 8 are needed": "zu wenige Tage: 8 werden gebraucht", "mean of a day": "Mittel eines Tages", "day": "Tag", "days": "Tage",
  "So many units are charted by the means of days, out of the rollups. Ask for a lot or some days to have single values.": "So viele Teile stehen als Tagesmittel in der Karte. Für Einzelwerte nach einem Los oder einigen Tagen fragen.",
  "no check standard": "kein Prüfnormal", "too few standards or checks": "zu wenige Normale oder Prüfungen",
  "one point beyond 3 sigma": "ein Punkt jenseits von 3 Sigma", "two of three beyond 2 sigma on one side": "zwei von drei jenseits von 2 Sigma auf einer Seite",
  "four of five beyond 1 sigma on one side": "vier von fünf jenseits von 1 Sigma auf einer Seite", "eight in a row on one side of the centre": "acht in Folge auf einer Seite der Mitte",
}));

const each = (list, by) => list.split(by).map(inWords).join(by);
const sentences = [
  [/^Decide about the unit in quarantine\.$/, "Über das gesperrte Teil entscheiden."],
  [/^Decide about the (\d+) units in quarantine\.$/, "Über die $1 gesperrten Teile entscheiden."],
  [/^Look at the chart of (.*)\.$/, (_, what) => `Die Karte von ${inWords(what)} ansehen.`],
  [/^Nothing to decide in lot (.*)\.$/, "Im Los $1 ist nichts zu entscheiden."],
  [/^Verify the records: the books of lot (.*) do not balance\.$/, "Die Aufzeichnungen prüfen: die Bücher des Loses $1 gehen nicht auf."],
  [/^Have station (.*) mended: its shift check blocks it\.$/, "Station $1 instand setzen lassen: ihre Schichtprüfung sperrt sie."],
  [/^Set the unit in doubt apart: station (.*) was found wrong\.$/, "Das Teil im Zweifel abseits legen: Station $1 maß falsch."],
  [/^Set the (\d+) units in doubt apart: station (.*) was found wrong\.$/, "Die $1 Teile im Zweifel abseits legen: Station $2 maß falsch."],
  [/^Measure unit (\S+) in nest (\d+), loaded anew\.$/, "Teil $1 in Nest $2 messen, neu eingelegt."],
  [/^Measure unit (\d+) of (\d+), in every nest\.$/, "Teil $1 von $2 messen, in jedem Nest."],
  [/^(.*), (as found|as left), by (lot|day)$/, (_, what, stage, point) => `${inWords(what)}, ${inWords(stage)}, je ${inWords(point)}`],
  [/^(.*), (as found|as left)$/, (_, what, stage) => `${inWords(what)}, ${inWords(stage)}`],
  [/^Ppk of (.*)$/, (_, what) => `Ppk von ${inWords(what)}`],
  [/^Charts of (.*), each at its key$/, (_, what) => `Karten von ${inWords(what)}, jede an ihrer Taste`],
  [/^(value|moving range|range|mean|deviation) of (.*)$/, (_, line, what) => `${inWords(line)} von ${inWords(what)}`],
  [/^(.*): values by unit$/, (_, what) => `${inWords(what)}: Werte je Teil`],
  [/^(.*?), key (.*)$/, (_, check, key) => `${inWords(check)}, Taste ${key}`],
  [/^nest (\d+)$/, "Nest $1"],
  [/^Lot (.*)$/, "Los $1"],
  [/^With Wilson's 95 % intervals\. ?(.*)$/, (_, rest) => `Mit 95-%-Bereichen nach Wilson. ${inWords(rest)}`],
  [/^First-pass yields differ: so much difference comes by chance with a probability of (\S+) \((.*)\)\.$/, "Die Ausbeuten unterscheiden sich: so viel Unterschied kommt zufällig mit der Wahrscheinlichkeit $1 ($2)."],
  [/^First-pass yields cannot be told apart: so much difference comes by chance with a probability of (\S+) \((.*)\)\.$/, "Die Ausbeuten sind nicht zu unterscheiden: so viel Unterschied kommt zufällig mit der Wahrscheinlichkeit $1 ($2)."],
  [/^First-pass yield (.*), final yield (.*)\.$/, "Gut beim ersten Mal $1, am Ende $2."],
  [/^loaded (\d+) = pass (\d+) \+ fail (\d+) \+ inconclusive (\d+) \+ no verdict (\d+) \+ removed (\d+): every unit is accounted for\.$/, "geladen $1 = gut $2 + schlecht $3 + unentschieden $4 + kein Urteil $5 + entnommen $6: kein Teil fehlt."],
  [/^(\d+) causes? of (\d+) make up 80 % of rejected units\. A unit counts once, by the first check that failed at its first try\.$/, "$1 von $2 Ursachen machen 80 % der abgewiesenen Teile aus. Ein Teil zählt einmal, nach dem ersten Prüfpunkt, der beim ersten Mal versagte."],
  [/^(\d+) units? of (\d+) rejected at their first try, each at the first check that failed\.( The denser the hatching, the more\.)?$/, (_, n, of, more) => `${n} von ${of} Teilen beim ersten Mal abgewiesen, jedes am ersten Prüfpunkt, der versagte.${more ? " Je dichter schraffiert, desto mehr." : ""}`],
  [/^(\d+) units?, each by its first try\. Cpk is of the scatter within (lots|days), Ppk of all values \(ISO 22514-2\); worst first\.$/, (_, n, within) => `${n} Teile, jedes beim ersten Mal. Cpk kommt aus der Streuung innerhalb der ${within === "lots" ? "Lose" : "Tage"}, Ppk aus allen Werten (ISO 22514-2); das schlechteste zuerst.`],
  [/^(\d+) values? of (.*): Ppk (.*), (.*) model\.$/, (_, n, what, index, model) => `${n} Werte von ${inWords(what)}: Ppk ${index}, Modell ${model}.`],
  [/^Signals: (.*)\.$/, (_, rules) => `Signale: ${each(rules, "; ")}.`],
  [/^Limits are from the first (\d+) points\.$/, "Die Grenzen kommen aus den ersten $1 Punkten."],
  [/^(\d+) points?, (\d+) signals?\.( One false alarm in (\d+) points, in the mean\.)?(.*)$/, (_, n, of, alarm, points, rest) => `${n} Punkte, ${of} Signale.${alarm ? ` Im Mittel ein Fehlalarm auf ${points} Punkte.` : ""}${rest ? ` ${inWords(rest.trim())}` : ""}`],
  [/^(\S+): (one point|two of|four of|eight in|six in|nine in|fourteen in)(.*)$/, (_, unit, begin, rest) => `${unit}: ${inWords(begin + rest)}`],
  [/^Means of (lots|days), each unit by its first try; a step or a trend is told at a risk of (\S+)\. What check standards of station (.*) share is the station's\.$/, (_, points, risk, station) => `Mittel der ${inWords(points)}, jedes Teil beim ersten Mal; ein Sprung oder ein Trend gilt bei einem Risiko von ${risk}. Was die Prüfnormale der Station ${station} gemeinsam zeigen, ist die Station.`],
  [/^Means with their standard uncertainty: (.*)\.$/, (_, finding) => `Mittel mit Standardunsicherheit: ${inWords(finding)}.`],
  [/^(\d+) whole units?, (\d+) appraisers?, (\d+) repetitions? of each: 2 of all are needed, each unit by every appraiser$/, "$1 vollständige Teile, $2 Messende, $3 Wiederholungen je Teil: von allem sind 2 nötig, jedes Teil von jedem."],
  [/^(\d+) units?, (\d+) appraisers?, (\d+) repetitions?\.$/, "$1 Teile, $2 Messende, $3 Wiederholungen."],
  [/^(\d+) units?, each by its newest run, newest first(; there are more)?\.$/, (_, n, more) => `${n} Teile, jedes nach seinem neuesten Lauf, das neueste zuerst${more ? "; es gibt mehr" : ""}.`],
  [/^(\d+) units? in (\d+) runs?\.$/, "$1 Teile in $2 Läufen."],
  [/^Unit (\S+) is now: (\S+) \((.*)\)\.$/, (_, unit, to, who) => `Teil ${unit} ist jetzt: ${inWords(to)} (${who}).`],
  [/^(\d+) (pass|fail|inconclusive|no verdict|quarantined|removed)$/, (_, n, mark) => `${n} ${inWords(mark)}`],
];

export function inWords(text) {
  if (language() !== "de" || !text) return text ?? "";
  const word = words.get(text);
  if (word) return word;
  for (const [pattern, german] of sentences) if (pattern.test(text)) return text.replace(pattern, german);
  return say(text);
}
