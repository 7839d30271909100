// What the station found in a unit, and what to do with it: station/metrology and the engine's word on
// units.

const checks = [
  ["gain", "Verstärkung"], ["offset", "Nullwert"], ["non-linearity", "Nichtlinearität"], ["noise", "Rauschen"], ["touch response", "Berührantwort"],
  ["signal-to-noise", "Signal-Rausch-Verhältnis"], ["crosstalk", "Übersprechen"], ["contact", "Kontakt"], ["isolation", "Isolation"], ["settling", "Einschwingen"],
  ["product code", "Produktcode"], ["label", "Etikett"], ["trims read back", "zurückgelesene Abgleichwerte"], ["trims after power-off", "Abgleichwerte nach dem Ausschalten"],
  ["trims in range", "Abgleichwerte im Bereich"], ["gain error", "Verstärkungsfehler"], ["offset error", "Nullwertfehler"], ["touch report", "Berührmeldung"],
  ["rest report", "Ruhemeldung"], ["stuck key", "hängende Taste"], ["dead key", "tote Taste"], ["answer", "Antwort"], ["supply", "Versorgung"], ["link", "Verbindung"],
  ["reply time", "Antwortzeit"], ["drift", "Drift"], ["frequency departure", "Frequenzabweichung"], ["surface", "Oberfläche"], ["operating distance", "Schaltabstand"],
  ["differential travel", "Differenzweg"], ["proximity response", "Annäherungsantwort"], ["response time", "Ansprechzeit"], ["slow approach", "langsame Annäherung"],
  ["position non-linearity", "Nichtlinearität der Position"], ["position error", "Positionsfehler"], ["hover report", "Meldung ohne Berührung"], ["wet report", "Meldung bei Nässe"],
];

export const names = [
  ...checks, ["the unit", "dem Teil"], ["nothing", "nichts"], ["power", "Versorgung"],
  ["pass", "gut"], ["fail", "schlecht"], ["inconclusive", "unentschieden"], ["no verdict", "kein Urteil"], ["quarantined", "gesperrt"], ["removed", "entnommen"],
  ["released", "freigegeben"], ["rework", "Nacharbeit"], ["scrap", "Ausschuss"], ["undecided", "unentschieden"],
];

// Where: in German they stand after bei, an, von and zwischen.
const places = [
  ["{one:w} and key {other}", "{one} und Taste {other}"], ["key {key}", "Taste {key}"], ["channel {n:n}", "Kanal {n}"],
];

const limits = [
  ["at least {limit:f}", "mindestens {limit}"], ["at most {limit:f}", "höchstens {limit}"],
  ["{low:d} to {high:d}[ {unit:f}]", "{low} bis {high}[ {unit}]"], ["{value:d} ({low:d} to {high:d})", "{value} ({low} bis {high})"],
];

const made = [
  ["The check \"{check:w}\" at {place:w} was not decided: {why:w}.", "Der Prüfpunkt \u201e{check}\u201c an {place} wurde nicht entschieden: {why}."],
  ["The check \"{check:w}\" was not decided: {why:w}.", "Der Prüfpunkt \u201e{check}\u201c wurde nicht entschieden: {why}."],
  ["its readings are too few or too alike to tell their scatter; take more scans", "es sind zu wenige Werte, oder zu gleiche, um ihre Streuung zu kennen; mehr Abtastungen nehmen"],
  ["a value is not a finite number", "ein Wert ist keine endliche Zahl"], ["too few points", "zu wenige Punkte"], ["all points lie at the same abscissa", "alle Punkte liegen an derselben Stelle"],
  ["a variance or weight is not positive", "eine Varianz oder ein Gewicht ist nicht positiv"], ["the covariance matrix is not symmetric", "die Kovarianzmatrix ist nicht symmetrisch"],
  ["the data cannot tell the unknowns apart", "die Daten unterscheiden die Unbekannten nicht"], ["the interval is empty", "der Bereich ist leer"],
  ["an argument lies outside its domain", "ein Wert liegt außerhalb dessen, was erlaubt ist"], ["lists that belong together differ in length", "Listen, die zusammengehören, sind verschieden lang"],
  ["the iteration did not settle", "die Näherung kam zu keinem Ende"], ["there is no reading with all references open", "es gibt keinen Wert mit allen Referenzen offen"],
  ["fewer than two references were read", "weniger als zwei Referenzen wurden gelesen"], ["there are no repeated readings", "es gibt keine wiederholten Werte"],
  ["the equipment record has no step {reference}", "die Akte der Aufnahme hat keine Stufe {reference}"],
  ["The trims were not read in step {step}.", "Die Abgleichwerte wurden im Schritt {step} nicht gelesen."], ["The unit was not identified.", "Das Teil wurde nicht erkannt."],
  ["The unit says product code {code:n}, and '{product}' is {other:n}.", "Das Teil nennt den Produktcode {code}, und \u201e{product}\u201c ist {other}."], ["Nothing was done to it.", "Nichts wurde daran getan."],
  ["Take it out: it belongs to another lot.", "Herausnehmen: es gehört zu einem anderen Los."],
  ["The lot has its {n:n} units; this one lay in the nest and is not of it.", "Das Los hat seine {n} Teile; dieses lag noch im Nest und gehört nicht dazu."], ["Take it out, or run it in the next lot.", "Herausnehmen oder im nächsten Los prüfen."],
  ["The unit watches this station (padtrim shift-check) and is never adjusted; it was not touched.", "Das Teil überwacht diese Station (Schichtprüfung) und wird nie abgeglichen; ihm geschah nichts."], ["Take it out.", "Herausnehmen."],
  ["The unit is neither a check standard nor the challenge unit of this fixture.", "Das Teil ist weder Prüfnormal noch Fehlerteil dieser Aufnahme."], ["Take it out, and lay in those that the profile names.", "Herausnehmen und die einlegen, die das Profil nennt."],
  ["The unit is quarantined.", "Das Teil ist gesperrt."], ["Keep it apart, do not ship it; a person decides before it is run again.", "Getrennt aufbewahren, nicht ausliefern; erst entscheidet eine Person, dann läuft es wieder."],
  ["The unit was scrapped.", "Das Teil ist Ausschuss."], ["Take it out of the lot.", "Aus dem Los nehmen."],
  ["The unit has passed in this lot already; it is not run twice.", "Das Teil war in diesem Los schon gut; es wird nicht zweimal geprüft."], ["Put it with the good ones.", "Zu den guten legen."],
  ["The unit had its verdict ({verdict:w}) before the station stopped.", "Das Teil hatte sein Urteil ({verdict}), bevor die Station anhielt."], ["Load it again to run it again.", "Neu einlegen, um es noch einmal zu prüfen."],
  ["Label and unit differ: {label} was scanned for nest {n:n}, and the unit in it says {serial}.", "Etikett und Teil passen nicht zusammen: für Nest {n} wurde {label} gescannt, das Teil darin heißt {serial}."],
  ["Lay it where its label was scanned, or put it apart for its label.", "Dorthin legen, wo sein Etikett gescannt wurde, oder wegen des Etiketts abseits legen."],
  ["The station stopped before anything was written. Run the unit again.", "Die Station hielt an, bevor etwas geschrieben wurde. Das Teil noch einmal prüfen."],
  ["The station stopped {when:w}. The unit is quarantined: a person decides.", "Die Station hielt an: {when}. Das Teil ist gesperrt: eine Person entscheidet."],
  ["when it was about to write trims; they may be half written", "als sie Abgleichwerte schreiben wollte; sie können halb geschrieben sein"],
  ["after writing trims, before they were read back", "nach dem Schreiben der Abgleichwerte, vor dem Zurücklesen"], ["after reading the trims back; they may be committed or not", "nach dem Zurücklesen der Abgleichwerte; ob sie gespeichert sind, ist offen"],
  ["after committing the trims, before the power-cycle", "nach dem Speichern der Abgleichwerte, vor dem Aus- und Einschalten"], ["after the power-cycle, before the trims were verified", "nach dem Aus- und Einschalten, vor dem Nachweis"],
  ["after verifying the trims, before the result was stored", "nach dem Nachweis, bevor das Ergebnis gespeichert war"],
];

// What stands at a key: "touch response 212(9) counts, at least 250 needed".
const atKeys = checks.flatMap(([check, german]) => [
  [`${check} {value:d}[{rest:f}], {limit:w} needed`, `${german} {value}[{rest}], {limit} verlangt`], [`${check} {value:d}[{rest:f}], {limit:w}`, `${german} {value}[{rest}], {limit}`],
  [`${check} {value:d}[{rest:f}]`, `${german} {value}[{rest}]`]]);

export const phrases = [...atKeys, ...acts, ...reasons, ...refused, ...made, ...limits, ...places];
