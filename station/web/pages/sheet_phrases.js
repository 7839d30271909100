// What quality sheets say: station/answers and db/quality.

const titles = [
  ["Drift of product and station", "Drift von Produkt und Station"], ["Type 1 study", "Studie an einem Teil"], ["Gauge study", "Studie des Messsystems"], ["Sampling plans", "Stichprobenpläne"], ["Units to look at, in the order they come", "Anzusehende Teile, in der Reihenfolge ihres Kommens"],
  ["units to look at", "anzusehende Teile"], ["next inspection", "nächste Prüfung"], ["Units that this touched", "Teile, die es berührt hat"], ["all, rolled", "alle zusammen"], ["(no serial)", "(ohne Nummer)"], ["Cpk within lots", "Cpk innerhalb der Lose"], ["Cpk within days", "Cpk innerhalb der Tage"],
  ["Capability as left: the station", "Fähigkeit wie hinterlassen: die Station"], ["Capability as found: the product", "Fähigkeit wie vorgefunden: das Produkt"], ["rejected at first", "beim ersten Mal abgewiesen"], ["means of days", "Tagesmittel"], ["not told yet", "noch nicht genannt"],
];

const choose = [
  ["Decide about the unit that waits.", "Über das wartende Teil entscheiden."], ["Decide about the {n:n} units that wait.", "Über die {n} wartenden Teile entscheiden."],
  ["Reply to the alarm of frozen charts.", "Den Alarm festgehaltener Karten beantworten."], ["Reply to the {n:n} alarms of frozen charts.", "Die {n} Alarme festgehaltener Karten beantworten."],
  ["Look at the chart of {what:w}.", "Die Karte von {what} ansehen."], ["Nothing to decide in lot {lot}.", "Im Los {lot} ist nichts zu entscheiden."], ["Run a lot: these records hold none that answers to that.", "Ein Los laufen lassen: dazu steht keines in diesen Aufzeichnungen."],
  ["Verify the records: the books of lot {lot} do not balance.", "Die Aufzeichnungen prüfen: die Bücher des Loses {lot} gehen nicht auf."], ["Have station {station} mended: its shift check blocks it.", "Station {station} instand setzen lassen: ihre Schichtprüfung sperrt sie."],
  ["Set the unit in doubt apart: station {station} was found wrong.", "Das Teil im Zweifel abseits legen: Station {station} maß falsch."], ["Set the {n:n} units in doubt apart: station {station} was found wrong.", "Die {n} Teile im Zweifel abseits legen: Station {station} maß falsch."],
  ["No unit of lot {lot} has a result yet: charts are of lot {other}.", "Noch hat kein Teil des Loses {lot} ein Ergebnis: die Karten sind vom Los {other}."],
];

const places = [
  ["{what:w}, as found, by {point:w}", "{what}, wie vorgefunden, je {point}"], ["{what:w}, as left, by {point:w}", "{what}, wie hinterlassen, je {point}"], ["{what:w}, as found", "{what}, wie vorgefunden"], ["{what:w}, as left", "{what}, wie hinterlassen"], ["Ppk of {what:w}", "Ppk von {what}"], ["charts of {what:w}", "Karten von {what}"],
  ["Charts of {what:w}, each at its key", "Karten von {what}, jede an ihrer Taste"], ["{what:w}: values by unit", "{what}: Werte je Teil"], ["nest {n:n}", "Nest {n}"], ["nest {n:n}, {check:w}, key {key}", "Nest {n}, {check}, Taste {key}"], ["nest {n:n}, {check:w}", "Nest {n}, {check}"],
  ["{check:w}, key {key}", "{check}, Taste {key}"], ["{check:w}, step {step}", "{check}, Schritt {step}"], ["Lot {lot}", "Los {lot}"], ["Unit {serial}", "Teil {serial}"], ["Units in doubt, station {station}", "Teile im Zweifel, Station {station}"],
  ...["value", "moving range", "range", "mean", "deviation", "standard deviation", "weighted mean"].map((line) => [`${line} of {what:w}`, `${{ value: "Wert", "moving range": "gleitende Spannweite", range: "Spannweite", mean: "Mittel", deviation: "Streuung", "standard deviation": "Streuung", "weighted mean": "gewichtetes Mittel" }[line]} von {what}`]),
  ["Control charts: {rest:w}", "Regelkarten: {rest}"], ["units rejected at their first try, a {point:w}", "beim ersten Mal abgewiesene Teile, je {point}"], ["failed checks a unit at first tries, {rest:w}", "nicht erfüllte Prüfpunkte je Teil beim ersten Mal, {rest}"], ["means of days, {rest:w}", "Tagesmittel, {rest}"], ["a step", "ein Schritt"],
];

const counts = [
  ["40(11): 40 with a standard uncertainty of 11, in the last digits.", "40(11): 40 mit einer Standardunsicherheit von 11, in den letzten Ziffern."],
  ["{share:d} % ({low:d} to {high:d} %)", "{share} % ({low} bis {high} %)"],
  ["Drawn: {n:n} key[s], each by the one of its {of:n} charts with most signals.", "Gezeichnet: {n} Tasten, jede mit der ihrer {of} Karten, die sich am meisten meldet."], ["Drawn: {n:n} key[s], a chart each.", "Gezeichnet: {n} Tasten, je eine Karte."], ["Broken frame: a rule signals. Dotted: no chart.", "Gestrichelter Rahmen: eine Regel meldet sich. Punktiert: keine Karte."],
  ["{n:n} below, {m:n} above", "{n} darunter, {m} darüber"], ["{n:n} pass", "{n} gut"], ["{n:n} fail", "{n} schlecht"], ["{n:n} inconclusive", "{n} unentschieden"], ["{n:n} no verdict", "{n} kein Urteil"], ["{n:n} quarantined", "{n} gesperrt"], ["{n:n} removed", "{n} entnommen"],
  ["loaded {loaded:n} = pass {pass:n} + fail {fail:n} + inconclusive {open:n} + no verdict {none:n} + removed {removed:n}[; of them quarantined {held:n}]: every unit is accounted for.", "geladen {loaded} = gut {pass} + schlecht {fail} + unentschieden {open} + kein Urteil {none} + entnommen {removed}[; davon gesperrt {held}]: kein Teil fehlt."],
  ["loaded {loaded:n} = pass {pass:n} + fail {fail:n} + inconclusive {open:n} + no verdict {none:n} + removed {removed:n}[; of them quarantined {held:n}]: THE BOOKS DO NOT BALANCE. Verify the records.", "geladen {loaded} = gut {pass} + schlecht {fail} + unentschieden {open} + kein Urteil {none} + entnommen {removed}[; davon gesperrt {held}]: DIE BÜCHER GEHEN NICHT AUF. Die Aufzeichnungen prüfen."],
  ["First-pass yield {first:w}, final yield {last:w}.", "Gut beim ersten Mal {first}, am Ende {last}."], ["{list} and {n:n} more", "{list} und {n} weitere"],
  ["{n:n} unit[s], each by its newest run, newest first; there are more.", "{n} Teile, jedes nach seinem neuesten Lauf, das neueste zuerst; es gibt mehr."], ["{n:n} unit[s], each by its newest run, newest first.", "{n} Teile, jedes nach seinem neuesten Lauf, das neueste zuerst."],
  ["{n:n} unit[s] in {runs:n} run[s].", "{n} Teile in {runs} Läufen."], ["{n:n} run[s], oldest first.", "{n} Läufe, der älteste zuerst."], ["The records do not know this unit. Check the serial.", "Die Aufzeichnungen kennen dieses Teil nicht. Die Seriennummer prüfen."],
];

const yields = [
  ["With Wilson's 95 % intervals. {rest:s}", "Mit 95-%-Bereichen nach Wilson. {rest}"], ["With Wilson's 95 % intervals.", "Mit 95-%-Bereichen nach Wilson."],
  ["First-pass yields differ (p = {p:f}, risk {risk:f}, {how:w}).", "Die Ausbeuten unterscheiden sich (p = {p}, Risiko {risk}, {how})."],
  ["No difference of first-pass yields shown (p = {p:f}, risk {risk:f}, {how:w}).", "Kein Unterschied der Ausbeuten zu erkennen (p = {p}, Risiko {risk}, {how})."], ["no difference shown", "kein Unterschied zu erkennen"], ["score test", "Score-Test"], ["exact test", "exakter Test"],
  ["One cause makes up all rejected units.", "Eine Ursache macht alle abgewiesenen Teile aus."], ["All {n:n} causes are needed for 80 % of rejected units.", "Für 80 % der abgewiesenen Teile braucht es alle {n} Ursachen."],
  ["{n:n} of {of:n} causes make up at least 80 % of rejected units.", "{n} von {of} Ursachen machen mindestens 80 % der abgewiesenen Teile aus."], ["Drawn: the first {n:n} of {of:n}.", "Gezeichnet: die ersten {n} von {of}."],
  ["At the end of each bar: units, and their share with all above. A unit counts once, by the first check that failed at its first try.", "Am Ende jedes Balkens: Teile, und ihr Anteil mit allen darüber. Ein Teil zählt einmal, nach dem ersten Prüfpunkt, der beim ersten Mal versagte."],
  ["{n:n} unit[s] of {of:n} rejected at their first try, each at the first check that failed. The denser the hatching, the more. At no key, the whole unit: {whole:n}.", "{n} von {of} Teilen beim ersten Mal abgewiesen, jedes am ersten Prüfpunkt, der versagte. Je dichter schraffiert, desto mehr. An keiner Taste, das ganze Teil: {whole}."],
  ["{n:n} unit[s] of {of:n} rejected at their first try, each at the first check that failed. The denser the hatching, the more.", "{n} von {of} Teilen beim ersten Mal abgewiesen, jedes am ersten Prüfpunkt, der versagte. Je dichter schraffiert, desto mehr."],
  ["{n:n} unit[s] of {of:n} rejected at their first try, each at the first check that failed. At no key, the whole unit: {whole:n}.", "{n} von {of} Teilen beim ersten Mal abgewiesen, jedes am ersten Prüfpunkt, der versagte. An keiner Taste, das ganze Teil: {whole}."],
  ["{n:n} unit[s] of {of:n} rejected at their first try, each at the first check that failed.", "{n} von {of} Teilen beim ersten Mal abgewiesen, jedes am ersten Prüfpunkt, der versagte."],
];

const capability = [
  ["As if the limits were {limits:w}; values outside are counted one by one.", "Als wären die Grenzen {limits}; Werte außerhalb sind einzeln gezählt."],
  ["First tries, one for each unit of each lot: {n:n}. Cpk is of the scatter within lots, Ppk of all values (ISO 22514-2); worst first.", "Erste Versuche, einer je Teil und Los: {n}. Cpk kommt aus der Streuung innerhalb der Lose, Ppk aus allen Werten (ISO 22514-2); das schlechteste zuerst."],
  ["First tries, one for each unit of each lot: {n:n}. Cpk is of the scatter within days, Ppk of all values (ISO 22514-2); worst first.", "Erste Versuche, einer je Teil und Los: {n}. Cpk kommt aus der Streuung innerhalb der Tage, Ppk aus allen Werten (ISO 22514-2); das schlechteste zuerst."],
  ["{n:n} value[s] of {what:w}: Ppk {index:w}, {model:w} model.", "{n} Werte von {what}: Ppk {index}, Modell {model}."], ["{n:n} value[s], model none: {why:w}.", "{n} Werte, ohne Modell: {why}."], ["{n:n} value[s] of {what:w}, model none: {why:w}.", "{n} Werte von {what}, ohne Modell: {why}."],
  ["A place has fewer values than units where a run ended before its check, or got no value there.", "Weniger Werte als Teile hat eine Stelle, wo ein Lauf vor ihrem Prüfpunkt endete oder dort keinen Wert bekam."], ["Model \"-\": all values are equal, there is no scatter to model.", "Modell \u201e-\u201c: alle Werte sind gleich, es gibt keine Streuung zu beschreiben."],
  ["{n:n} value[s], all equal.", "{n} Werte, alle gleich."],
  ["Limits: {limits:w}.", "Grenzen: {limits}."], ["Without limits.", "Ohne Grenzen."], ["{limits:w}; limits changed, the newest count", "{limits}; die Grenzen änderten sich, die neuesten gelten"], ["normal", "normal"], ["normal, not tested", "normal, ungeprüft"], ["percentiles", "Perzentile"],
  ["none: not normal, and percentiles need 1000 values", "keins: nicht normalverteilt, und Perzentile brauchen 1000 Werte"],
];

const rules = [
  ["one point beyond 3 sigma", "ein Punkt jenseits von 3 Sigma"], ["eight in a row on one side of the centre", "acht in Folge auf einer Seite der Mitte"], ["nine in a row on one side of the centre", "neun in Folge auf einer Seite der Mitte"],
  ["six in a row rising or falling", "sechs in Folge steigend oder fallend"], ["fourteen in a row up and down in turn", "vierzehn in Folge abwechselnd auf und ab"], ["two of three beyond 2 sigma on one side", "zwei von drei jenseits von 2 Sigma auf einer Seite"],
  ["four of five beyond 1 sigma on one side", "vier von fünf jenseits von 1 Sigma auf einer Seite"], ["fifteen in a row within 1 sigma", "fünfzehn in Folge innerhalb von 1 Sigma"], ["eight in a row beyond 1 sigma", "acht in Folge jenseits von 1 Sigma"],
  ["beyond its limits", "jenseits der Grenzen"], ["the weighted mean is beyond its limits", "das gewichtete Mittel liegt jenseits der Grenzen"], ["the process is off", "der Prozess ist verschoben"], ["sum upwards", "Summe nach oben"], ["sum downwards", "Summe nach unten"],
];
const charts = [
  ...rules, ["Signals: {rules:l}.", "Signale: {rules}."], ["Limits are from all points shown.", "Die Grenzen kommen aus allen gezeigten Punkten."], ["Limits are from the first {n:n} points.", "Die Grenzen kommen aus den ersten {n} Punkten."],
  ["{n:n} point[s], {of:n} signal[s].", "{n} Punkte, {of} Signale."], ["One false alarm in {n:n} points, in the mean.", "Im Mittel ein Fehlalarm auf {n} Punkte."], ["How often these rules call a false alarm is not known.", "Wie oft diese Regeln falsch melden, ist nicht bekannt."],
  ["{n:n} chart[s] frozen for recipe {recipe}, revision {revision}.", "Festgehaltene Karten für Rezept {recipe}, Stand {revision}: {n}."], ["No chart frozen.", "Keine Karte festgehalten."], ["No chart is frozen: F4 on the sheet Control charts keeps one with its recipe, or padtrim chart --freeze.", "Keine Karte ist festgehalten: F4 auf dem Blatt der Regelkarten hält eine fest."],
  ["{n:n} alarm[s] without a reply.", "Alarme ohne Antwort: {n}."], ["{n:n} alarm[s], all told.", "Alarme insgesamt: {n}."], ["The process is {state:w}.", "Der Prozess ist {state}."],
  ["The reply to alarm {n:n} is kept ({who}): {why:s}", "Die Antwort auf Alarm {n} ist festgehalten ({who}): {why}"], ["There is no alarm {n:n} in these records.", "Alarm {n} gibt es in diesen Aufzeichnungen nicht."], ["GET /api/quality/alarms?all=yes lists them.", "Das Blatt der Regelkarten zeigt sie."], ["there is no alarm {n:n}", "Alarm {n} gibt es nicht."],
  ["{unit} alone makes {share:f} % of the ranges that the limits are from: too wide[.]", "{unit} allein macht {share} % der Spannweiten aus, aus denen die Grenzen kommen: zu weit."],
  ["{serial}: one point beyond 3 sigma", "{serial}: ein Punkt jenseits von 3 Sigma"], ["{serial}: {rules:l}", "{serial}: {rules}"], ["{rules:w}, frozen by {who}", "{rules}, festgehalten von {who}"],
  ["a chart whose values do not scatter has no limits", "eine Karte, deren Werte nicht streuen, hat keine Grenzen"],
];

const drift = [
  ["Means of lots, each unit by its first try; a step or a trend is told at a risk of {risk:f}. What check standards of station {station} share is the station's.", "Mittel der Lose, jedes Teil beim ersten Mal; ein Sprung oder ein Trend gilt bei einem Risiko von {risk}. Was die Prüfnormale der Station {station} gemeinsam zeigen, ist die Station."],
  ["Means of days, each unit by its first try; a step or a trend is told at a risk of {risk:f}. What check standards of station {station} share is the station's.", "Mittel der Tage, jedes Teil beim ersten Mal; ein Sprung oder ein Trend gilt bei einem Risiko von {risk}. Was die Prüfnormale der Station {station} gemeinsam zeigen, ist die Station."],
  ["Means with their standard uncertainty: {finding:w}.", "Mittel mit Standardunsicherheit: {finding}."],
  ...[["lot", "Los"], ["day", "Tag"]].flatMap(([point, german]) => [
    [`wanders: ${point}s differ {times:f} times as much as the scatter within them explains; neither a step nor a trend stands out`, `schwankt: ${german === "Los" ? "Lose" : "Tage"} unterscheiden sich {times}-mal so sehr, wie die Streuung darin erklärt; weder Stufe noch Trend hebt sich ab`],
    [`a step of {size:f} at {at}, or a trend of {slope:f} a ${point}`, `eine Stufe von {size} bei {at}, oder ein Trend von {slope} je ${german}`], [`a trend of {slope:f} a ${point}`, `ein Trend von {slope} je ${german}`]]),
  ["a step of {size:f} at lot {lot}", "eine Stufe von {size} bei Los {lot}"], ["a step of {size:f} at {day:t}", "eine Stufe von {size} am {day}"],
  ...[["no change that could be told", "keine Änderung zu erkennen"], ["no change distinguishable", "keine Änderung zu erkennen"], ["the station's", "der Station"], ["one check standard's", "eines Prüfnormals"], ["a check standard's own", "eines Prüfnormals selbst"],
    ["the station's and a check standard's own", "der Station und eines Prüfnormals selbst"], ["the station's and one check standard's", "der Station und eines Prüfnormals"], ["not distinguishable", "nicht zu unterscheiden"], ["a step or a trend", "eine Stufe oder ein Trend"]].flatMap(([english, german]) => [
    [`${english} ({value:d}({doubt:n})): {apart}; product beyond it {beyond:d}`, `${german} ({value}({doubt})): {apart}; das Produkt darüber hinaus {beyond}`], [`${english} ({value:d}({doubt:n})); product beyond it {beyond:d}`, `${german} ({value}({doubt})); das Produkt darüber hinaus {beyond}`],
    [`${english} ({value:d}({doubt:n})): {apart}`, `${german} ({value}({doubt})): {apart}`], [`${english} ({value:d}({doubt:n}))`, `${german} ({value}({doubt}))`], [`${english}: {apart}`, `${german}: {apart}`], [english, german]]),
  ["a step", "eine Stufe"], ["a trend", "ein Trend"], ["Whole UTC days are counted[, from {from:t}][, to the end of {to:t}].", "Ganze UTC-Tage zählen[, ab {from}][, bis Ende {to}]."],
];

const gauge = [
  ["Measure unit {serial} in nest {n:n}, loaded anew.", "Teil {serial} in Nest {n} messen, neu eingelegt."], ["Measure unit {n:n} of {of:n}, in every nest.", "Teil {n} von {of} messen, in jedem Nest."], ["Read the result: the study is whole.", "Das Ergebnis lesen: die Studie ist vollständig."],
  ["{n:n} whole unit[s], {a:n} appraiser[s], {r:n} repetition[s] of each: 2 of all are needed, each unit by every appraiser", "{n} vollständige Teile, {a} Messende, {r} Wiederholungen je Teil: von allem sind 2 nötig, jedes Teil von jedem"],
  ["{n:n} unit[s], {a:n} appraiser[s], {r:n} repetition[s]; {left:n} value[s] left out.", "{n} Teile, {a} Messende, {r} Wiederholungen; {left} Werte ausgelassen."], ["{n:n} unit[s], {a:n} appraiser[s], {r:n} repetition[s].", "{n} Teile, {a} Messende, {r} Wiederholungen."],
  ["not fit: needs {value:f}", "nicht geeignet: braucht {value}"], ["fit", "geeignet"], ["the check has no two limits, so no tolerance", "der Prüfpunkt hat keine zwei Grenzen, also keine Toleranz"], ["readings of {n:n} units: name a lot with one unit", "Messungen von {n} Teilen: ein Los mit einem Teil nennen"],
  ["No value answers to that. Gauge studies are made of lots run with --measure-only.", "Dazu gibt es keinen Wert. Studien werden aus Losen gemacht, die nur messen."], ["Cg and Cgk with 20 % of the tolerance and 6 deviations (common practice).", "Cg und Cgk mit 20 % der Toleranz und 6 Streuungen (üblich)."],
];

const doubt = [
  ["There is no episode {n:n}: the station was blocked {times:n} time[s].", "Das Mal {n} gibt es nicht: die Station war {times}-mal gesperrt."], ["its plan cannot be read any more", "sein Plan lässt sich nicht mehr lesen"],
  ["The station was blocked {times:n} time[s]: this is episode {n:n}, 1 being the newest; each has units of its own.", "Die Station war {times}-mal gesperrt: dies ist das Mal {n}, 1 ist das neueste; jedes hat eigene Teile."],
  ["The check at {at:t}[Z][ UTC] blocked the station: {cause:s}", "Die Prüfung vom {at} UTC sperrte die Station: {cause}"],
  ["The last good check before it was at {at:t}[Z][ UTC]; {n:n} run[s] since in doubt, of which {changed:n} would get another verdict.", "Die letzte gute Prüfung davor war am {at} UTC; seitdem Läufe im Zweifel: {n}, davon bekämen {changed} ein anderes Urteil."],
  ["There was no good check before it; {n:n} run[s] since in doubt, of which {changed:n} would get another verdict.", "Davor gab es keine gute Prüfung; seitdem Läufe im Zweifel: {n}, davon bekämen {changed} ein anderes Urteil."],
  ["{n:n} run[s] of that time not in doubt: what changed is a check standard's own, or another nest's.", "Läufe dieser Zeit, die nicht im Zweifel sind: {n}. Was sich änderte, liegt am Prüfnormal selbst oder an einem anderen Nest."],
  ["The station is blocked still: {next:s}", "Die Station ist noch gesperrt: {next}"],
  ["{check:w} of key {key}: {value:d} less {less:d} is {is:d} {limits:w}, {now:w} instead of {before:w}", "{check} der Taste {key}: {value} weniger {less} ist {is} ({limits}), {now} statt {before}"],
  ["{check:w}: {value:d} less {less:d} is {is:d} {limits:w}, {now:w} instead of {before:w}", "{check}: {value} weniger {less} ist {is} ({limits}), {now} statt {before}"],
];

const shiftCheck = [
  ["{n:n} value[s] of {of:n} are beyond the control limits.", "{n} von {of} Werten liegen jenseits der Regelgrenzen."], ["{n:n} value of {of:n} is beyond the control limits.", "{n} von {of} Werten liegt jenseits der Regelgrenzen."], ["{n:n} value[s] within the control limits.", "{n} Werte innerhalb der Regelgrenzen."],
  ...["at key {key}, channel {channel:n}, frequency {frequency:n}", "at key {key}, channel {channel:n}", "at key {key}", "channel {channel:n}, frequency {frequency:n}"].map((place) => [
    `Worst: {check:w}${place.startsWith("at") ? "" : ","} ${place}, of {standard} in nest {n:n} is {value:f}; its chart allows {limits:w}.`, `Am weitesten: {check}, ${place.replace("at key", "Taste").replace("channel {channel:n}", "Kanal {channel}").replace("frequency {frequency:n}", "Frequenz {frequency}")}, von {standard} in Nest {n}, ist {value}; die Karte erlaubt {limits}.`]),
  ["Worst: {check:w}, of {standard} in nest {n:n} is {value:f}; its chart allows {limits:w}.", "Am weitesten: {check}, von {standard} in Nest {n}, ist {value}; die Karte erlaubt {limits}."],
  ["1 check standard shows it, so the station has changed.", "1 Prüfnormal zeigt es, also hat sich die Station geändert."], ["{n:n} check standards show it, so the station has changed.", "{n} Prüfnormale zeigen es, also hat sich die Station geändert."],
  ["Only {serial} shows it: that check standard may have changed itself.", "Nur {serial} zeigt es: dieses Prüfnormal kann sich selbst geändert haben."], ["One check standard cannot tell a change of its own from one of the station.", "Ein Prüfnormal allein unterscheidet nicht, ob es sich selbst geändert hat oder die Station."],
  ["All are of sensing frequency {n:n}.", "Alle sind von Messfrequenz {n}."], ["And {serial} is rejected: {why:s}", "Und {serial} ist abgewiesen: {why}"],
  ["The challenge unit {serial} in nest {n:n} is known to be bad and was not rejected: {verdict:w}.", "Das Fehlerteil {serial} in Nest {n} ist schlecht und wurde nicht abgewiesen: {verdict}."], ["The challenge unit {serial} in nest {n:n} was rejected, but not by {names:w}: {rest:s}", "Das Fehlerteil {serial} in Nest {n} wurde abgewiesen, aber nicht durch {names}: {rest}"],
  ["The check standard {serial} in nest {n:n} is a good unit and came to {verdict:w}: {rest:s}", "Das Prüfnormal {serial} in Nest {n} ist ein gutes Teil und wurde {verdict}: {rest}"],
  ["Do not produce: bad units would pass. See that the right unit lies in the nest and that nobody widened a limit, then repeat the shift check.", "Nicht fertigen: schlechte Teile kämen durch. Nachsehen, ob das richtige Teil im Nest liegt und niemand eine Grenze weiter gemacht hat, dann die Schichtprüfung wiederholen."],
  ["Mend what is said there, then repeat the shift check.", "Beheben, was dort steht, dann die Schichtprüfung wiederholen."], ["Produce.", "Fertigen."],
  ["Mend it and repeat the shift check. If the change is meant to be, begin new charts (padtrim shift-check --new-charts).", "Beheben und die Schichtprüfung wiederholen. Ist die Änderung gewollt, neue Karten beginnen (padtrim shift-check --new-charts)."],
  ["Look for a source of disturbance near nest {n:n}.", "Bei Nest {n} nach einer Störquelle suchen."], ["Look at the dummy finger: a worn or bent tip, its place and its height over nest {n:n}.", "Den Prüffinger ansehen: abgenutzte oder verbogene Spitze, Ort und Höhe über Nest {n}."],
  ["Look at the references, pins and wiring of nest {n:n}; padtrim reference measure tells a reference that changed.", "Referenzen, Stifte und Verdrahtung von Nest {n} ansehen; padtrim reference measure nennt eine Referenz, die sich geändert hat."],
  ["The charts learn: this was measurement {n:n} of {of:n}.", "Die Karten lernen: dies war Messung {n} von {of}."], ["No value was compared with limits yet.", "Noch wurde kein Wert mit Grenzen verglichen."],
  ["The baseline of {name} does not scatter, so it has no limits; state them in the profile.", "Die Grundwerte von {name} streuen nicht, also gibt es keine Grenzen; im Profil nennen."],
];

const sampling = [
  ["Step {step} of {product}: level {level}, AQL {limit:f} %. {next:s}", "Schritt {step} von {product}: Niveau {level}, AQL {limit} %. {next}"], ["The next lot gets {inspection:w} inspection.", "Das nächste Los wird {inspection} geprüft."],
  ["Lot {lot}: {found:n} of {of:n} units nonconforming, {result:w}. {next:s}", "Los {lot}: {found} von {of} Teilen fehlerhaft, {result}. {next}"], ["{n:n} nonconforming: {result:w}", "{n} fehlerhaft: {result}"],
  ["Inspection is stopped: too many lots were refused. Mend the cause; then F7 on the sheet Sampling lets it go on, or padtrim sampling --resume.", "Die Prüfung ruht: zu viele Lose wurden abgelehnt. Die Ursache beheben, dann die Prüfung wieder aufnehmen."],
  ["No units were chosen of lot '{lot}': F6 on the sheet Sampling chooses them, or padtrim sampling --lot --size.", "Aus dem Los \u201e{lot}\u201c wurden keine Teile gewählt: erst wählen."], ["No sampling plan is set: F4 on the sheet Sampling sets one, or padtrim sampling --set.", "Kein Stichprobenplan ist gesetzt: erst einen setzen."],
  ["Sampling plan {n:n} is in force for step {step} of {product}.", "Stichprobenplan {n} gilt für Schritt {step} von {product}."], ["Lot {lot}: {n:n} of {of:n} units are chosen.", "Los {lot}: {n} von {of} Teilen sind gewählt."],
  ["Inspection goes on: the next lot gets {inspection:w} inspection.", "Die Prüfung geht weiter: das nächste Los wird {inspection} geprüft."],
  ["No plan for a lot of that size: {why:w}.", "Für ein Los dieser Größe gibt es keinen Plan: {why}."], ["Inspection is not stopped, so there is nothing to resume.", "Die Prüfung ruht nicht, also ist nichts wieder aufzunehmen."],
  ["A new plan does not start it again.", "Ein neuer Plan beginnt sie nicht wieder."],
  ["A sampling plan is of one product's step: name both.", "Ein Stichprobenplan gehört zu einem Schritt eines Produkts: beide nennen."], ["The level is one of S-1, S-2, S-3, S-4, I, II and III.", "Das Niveau ist eins von S-1, S-2, S-3, S-4, I, II und III."],
  ["How many units has the lot? Two or more.", "Wie viele Teile hat das Los? Mindestens zwei."], ["An AQL is one of {list:f} %.", "Eine AQL ist eine von {list} %."], ["No sampling plan {n:n} is in force.", "Stichprobenplan {n} ist nicht in Kraft."], ["GET /api/quality/sampling lists those that are.", "Das Blatt zeigt die, die es sind."],
  ["the result of lot '{lot}' is kept already", "das Ergebnis des Loses {lot} ist schon festgehalten."], ["more units are nonconforming than were looked at", "mehr Teile sind fehlerhaft, als angesehen wurden."], ["units of lot '{lot}' are chosen already", "Teile des Loses \u201e{lot}\u201c sind schon gewählt."],
];

const refused = [
  ["No lot '{lot}' in these records. The yields of all lots name them.", "Kein Los \u201e{lot}\u201c in diesen Aufzeichnungen. Die Ausbeuten aller Lose nennen sie."],
  ...[["station", "Station"], ["product", "Produkt"], ["recipe", "Rezept"], ["revision", "Stand"], ["fixture", "Aufnahme"], ["check", "Prüfpunkt"], ["key", "Taste"], ["step", "Schritt"]].flatMap(([word, german]) => [
    [`No ${word} '{name}' in these records: they name none yet.`, `${german} \u201e{name}\u201c: nicht in diesen Aufzeichnungen, sie nennen noch keine.`], [`No ${word} '{name}' in these records: there is {list}.`, `${german} \u201e{name}\u201c: nicht in diesen Aufzeichnungen. Es gibt: {list}.`],
    [`No ${word} '{name}' in these records: there are {list}.`, `${german} \u201e{name}\u201c: nicht in diesen Aufzeichnungen. Es gibt: {list}.`]]),
  ["docs/commands.md lists the questions and what they take.", "docs/commands.md nennt die Fragen und was sie nehmen."], ["low is not below high: no value lies between.", "Unten liegt nicht unter oben: dazwischen liegt kein Wert."],
  ["Limits to try are those of one check: send check=NAME with low and high.", "Grenzen zum Probieren sind die eines Prüfpunkts: erst einen wählen."], ["Which station? Send station=NAME.", "Welche Station?"], ["There is no such lot.", "Dieses Los gibt es nicht."],
  ["'{field}' has to be {what}.", "\u201e{field}\u201c muss {what} sein."],
];

export const phrases = [...titles, ...choose, ...counts, ...yields, ...capability, ...sampling, ...doubt, ...shiftCheck, ...gauge, ...drift, ...charts, ...refused, ...places];
