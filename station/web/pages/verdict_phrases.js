// What the station found in a unit, and what to do with it: station/metrology and the engine's word on
// units.

const checks = [
  ["gain", "Verstärkung"], ["offset", "Nullwert"], ["non-linearity", "Nichtlinearität"], ["noise", "Rauschen"], ["touch response", "Berührantwort"],
  ["signal-to-noise", "Rauschabstand"], ["crosstalk", "Übersprechen"], ["contact", "Kontakt"], ["isolation", "Isolation"], ["settling", "Einschwingen"],
  ["product code", "Produktcode"], ["label", "Etikett"], ["trims read back", "zurückgelesene Abgleichwerte"], ["trims after power-off", "Abgleichwerte nach dem Ausschalten"],
  ["trims in range", "Abgleichwerte im Bereich"], ["gain error", "Verstärkungsfehler"], ["offset error", "Nullwertfehler"], ["touch report", "Berührmeldung"],
  ["rest report", "Ruhemeldung"], ["stuck key", "hängende Taste"], ["dead key", "tote Taste"], ["answer", "Antwort"], ["supply", "Versorgung"], ["link", "Verbindung"],
  ["reply time", "Antwortzeit"], ["drift", "Drift"], ["frequency departure", "Frequenzabweichung"], ["surface", "Oberfläche"], ["operating distance", "Schaltabstand"],
  ["differential travel", "Differenzweg"], ["proximity response", "Annäherungsantwort"], ["response time", "Ansprechzeit"], ["slow approach", "langsame Annäherung"],
  ["position non-linearity", "Nichtlinearität der Position"], ["position error", "Positionsfehler"], ["hover report", "Meldung ohne Berührung"], ["wet report", "Meldung bei Nässe"],
];

export const names = [
  ...checks, ["the unit", "dem Teil"], ["nothing", "nichts"],
  ["pass", "gut"], ["fail", "schlecht"], ["inconclusive", "unentschieden"], ["no verdict", "kein Urteil"], ["quarantined", "gesperrt"], ["removed", "entnommen"],
  ["released", "freigegeben"], ["rework", "Nacharbeit"], ["scrap", "Ausschuss"], ["undecided", "offen"],
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
  ["The unit says product code {code}, {product} has {other}.", "Das Teil nennt den Produktcode {code}, {product} hat {other}."],
  ["The label says {label}, the unit says {serial}.", "Auf dem Etikett steht {label}, das Teil sagt {serial}."],
  ["The trims did not read back as written.", "Die Abgleichwerte kamen nicht so zurück, wie sie geschrieben wurden."],
  ["Trims lost at power-off: the unit holds those it came with.", "Abgleichwerte beim Ausschalten verloren: das Teil hat wieder die, mit denen es kam."],
  ["Trims lost at power-off: the unit holds others than were written.", "Abgleichwerte beim Ausschalten verloren: das Teil hat andere als geschrieben."],
  ["Nobody watched {place:w} while nothing was near.", "Niemand sah nach {place}, während nichts in der Nähe war."],
  ["The product reports {place:w} while nothing is near, in {n:n} of {of:n} looks.", "Das Produkt meldet {place}, obwohl nichts in der Nähe ist: {n} von {of} Malen."],
  ["The finger did not touch {place:w}.", "Der Finger hat nicht berührt: {place}."],
  ["Touched at {place:w}, the product does not report it.", "Berührt an {place}, meldet das Produkt nichts davon."],
  ["Touched at {place:w}, the product reports nothing.", "Berührt an {place}, meldet das Produkt nichts."],
  ["Touched at {place:w}, the product reports {what:w}.", "Berührt an {place}, meldet das Produkt {what}."],
  ["With the finger lifted the product reports nothing.", "Mit gehobenem Finger meldet das Produkt nichts."],
  ["With the finger lifted the product reports {what:w}.", "Mit gehobenem Finger meldet das Produkt {what}."],
  ["The product was not asked about {place:w}.", "Das Produkt wurde nicht gefragt nach {place}."],
  ["Nobody answered: {question:s}", "Niemand hat geantwortet: {question}"],
  ["The operator answered yes: {question:s}", "Der Bediener antwortete ja: {question}"], ["The operator answered no: {question:s}", "Der Bediener antwortete nein: {question}"],
  ["The drift of {place:w} was not read.", "Die Drift von {place} wurde nicht gelesen."], ["The link was not looked at.", "Die Verbindung wurde nicht angesehen."],
  ["Of {n:n} requests {again:n} had to be repeated.", "Von {n} Anfragen mussten {again} wiederholt werden."], ["The unit does not tell its supply.", "Das Teil nennt seine Versorgung nicht."],
  ["The contact of {place:w} was not read.", "Der Kontakt von {place} wurde nicht gelesen."],
  ["When {place:w} feels the reference, {other:w} follows with {value:f}.", "Spürt {place} die Referenz, folgt {other} mit {value}."],
  ["The product reports {place:w} at the highest look already: its operating distance lies beyond.", "Das Produkt meldet {place} schon in der größten Höhe: der Schaltabstand liegt darüber."],
  ["The surface at {place:w} was not found: {why:s}", "Die Oberfläche an {place} wurde nicht gefunden: {why}"],
  ["The operating distance of {place:w} was not found.", "Der Schaltabstand von {place} wurde nicht gefunden."],
  ["The operating distance of {place:w} is not known.", "Der Schaltabstand von {place} ist nicht bekannt."],
  ["The response of {place:w} was not read.", "Die Antwort von {place} wurde nicht gelesen."],
  ["The product did not report every approach to {place:w}.", "Das Produkt hat nicht jede Annäherung gemeldet an {place}."],
  ["The finger did not approach {place:w}.", "Der Finger hat sich nicht genähert: {place}."],
  ["At {speed:f} the product does not report the finger on {place:w}: it takes it for drift.", "Bei {speed} meldet das Produkt den Finger nicht an {place}: es hält ihn für Drift."],
  ["At {speed:f} the product reports {place:w} instead of following.", "Bei {speed} meldet das Produkt {place}, statt zu folgen."],
  ["Whether the contacts of {place:w} had settled was not read.", "Ob die Kontakte von {place} eingeschwungen waren, wurde nicht gelesen."],
  ["No line for {place:w}: {why:w}.", "Keine Gerade für {place}: {why}."], ["No line was fitted for {place:w}[: {why:w}].", "Keine Gerade angepasst für {place}[: {why}]."],
  ["The noise of {place:w} was not read.", "Das Rauschen von {place} wurde nicht gelesen."], ["The track of {place:w} was not swept.", "Die Bahn von {place} wurde nicht abgefahren."],
  ["At {at:d} degrees of {place:w} the product reports {what:w}.", "Bei {at} Grad von {place} meldet das Produkt {what}."],
  ["At {at:d} mm of {place:w} the product reports {what:w}.", "Bei {at} mm von {place} meldet das Produkt {what}."],
  ["At {at:d} mm above the panel the product reports nothing.", "{at} mm über dem Feld meldet das Produkt nichts."],
  ["At {at:d} mm above the panel the product reports {what:w}.", "{at} mm über dem Feld meldet das Produkt {what}."],
  ["Nothing was moved over the panel.", "Über das Feld wurde nichts bewegt."], ["Nobody laid the water on the panel.", "Niemand hat das Wasser auf das Feld gebracht."],
  ["Wet, the product reports {what:w} without a finger.", "Nass meldet das Produkt ohne Finger {what}."],
  ["The frequencies of {place:w} were not compared.", "Die Frequenzen von {place} wurden nicht verglichen."], ["It stands out from all the others.", "Sie hebt sich von allen anderen ab."],
  ["The touch of {place:w} was not read.", "Die Berührung von {place} wurde nicht gelesen."],
  ["Touch response at {place:w} is undetermined after {n:n} of {of:n} scans, which do not suffice for these limits.", "Die Berührantwort an {place} ist nach {n} von {of} Abtastungen unbestimmt; das reicht für diese Grenzen nicht."],
  ["Crosstalk of {place:w} cannot be formed: the key itself does not respond.", "Das Übersprechen von {place} lässt sich nicht bilden: die Taste selbst antwortet nicht."],
  ["Peak-to-peak noise {value:f} counts over {n:n} scans, lifted.", "Rauschen von Spitze zu Spitze: {value} counts über {n} Abtastungen, gehoben."],
  ["Peak-to-peak noise {value:f} counts over {n:n} scans, the noisier of touched and lifted.", "Rauschen von Spitze zu Spitze: {value} counts über {n} Abtastungen, das größere von berührt und gehoben."],
  ["The trims of {place:w} were not verified.", "Die Abgleichwerte von {place} wurden nicht nachgewiesen."],
  ["The {what:w} trim of {place:w} would be {value:f}, outside the register's {low:d} to {high:d}.", "Der Abgleichwert ({what}) von {place} wäre {value}, das Register geht von {low} bis {high}."],
  ["No touch response was measured for {place:w}.", "Für {place} wurde keine Berührantwort gemessen."],
  ["The gain of {place:w} is {value:f} counts/pF; no trim mends it.", "Die Verstärkung von {place} ist {value} counts/pF; kein Abgleich behebt das."],
  ["The recipe has no step that measures gain and offset.", "Das Rezept hat keinen Schritt, der Verstärkung und Nullwert misst."],
  ["Step {step} was done {n:n} times; the last counts.", "Schritt {step} wurde {n}-mal gemacht; der letzte gilt."],
  ["Step {step} did not run to its end.", "Schritt {step} lief nicht bis zum Ende."],
  // Why the search for the surface found none.
  ["the steps of a search have to be above zero.", "die Schritte einer Suche müssen über null liegen."], ["a look gave no number.", "ein Blick gab keine Zahl."],
  // Of any check, last: a name may be anything.
  ["{check:w} at {place:w} is {value:f} with an uncertainty of {doubt:f}, too close to {limit:f}.", "{check} an {place}: {value} mit einer Unsicherheit von {doubt}, zu nahe an {limit}."],
  ["{check:w} is {value:f} with an uncertainty of {doubt:f}, too close to {limit:f}.", "{check}: {value} mit einer Unsicherheit von {doubt}, zu nahe an {limit}."],
  ["{check:w} at {place:w} is {value:f}, below {limit:f}.", "{check} an {place}: {value}, unter {limit}."], ["{check:w} at {place:w} is {value:f}, above {limit:f}.", "{check} an {place}: {value}, über {limit}."],
  ["{check:w} is {value:f}, below {limit:f}.", "{check}: {value}, unter {limit}."], ["{check:w} is {value:f}, above {limit:f}.", "{check}: {value}, über {limit}."],
  ["{check:w} of {key} in step {step} is {value:f}, allowed {limits:w}: too close to tell.", "{check} von {key} im Schritt {step}: {value}, erlaubt {limits}: zu nahe, um es zu sagen."],
  ["{check:w} in step {step} is {value:f}, allowed {limits:w}: too close to tell.", "{check} im Schritt {step}: {value}, erlaubt {limits}: zu nahe, um es zu sagen."],
  ["{check:w} of {key} in step {step} is {value:f}, allowed {limits:w}.", "{check} von {key} im Schritt {step}: {value}, erlaubt {limits}."],
  ["{check:w} in step {step} is {value:f}, allowed {limits:w}.", "{check} im Schritt {step}: {value}, erlaubt {limits}."],
];

const reasons = [
  ["No channel feels the reference.", "Kein Kanal spürt die Referenz."], ["All channels are noisy, at one sensing frequency alone.", "Alle Kanäle rauschen, nur bei einer Messfrequenz."],
  ["{n:n} of {of:n} channels are noisy.", "{n} von {of} Kanälen rauschen."], ["Verification failed.", "Der Nachweis misslang."], ["A check failed.", "Ein Prüfpunkt ist nicht erfüllt."],
  ["A check is in doubt.", "Ein Prüfpunkt ist im Zweifel."], ["Nothing was checked.", "Nichts wurde geprüft."], ["The run was stopped by a person.", "Der Lauf wurde von einer Person angehalten."],
  ["{n:n} check[s] hold[s]; the smallest margin is {margin:f} ({check:w} at {place:w}).", "{n} Prüfpunkte gehalten; kleinste Reserve {margin} ({check}, {place})."],
  ["{n:n} check[s] hold[s].", "{n} Prüfpunkte gehalten."],
  ["Measured only, nothing written. {rest:s}", "Nur gemessen, nichts geschrieben. {rest}"], ["Measured only, nothing written.", "Nur gemessen, nichts geschrieben."],
];

const acts = [
  ["Scan the next unit.", "Das nächste Teil scannen."], ["Set aside.", "Abseits legen."], ["Set aside. {rest:s}", "Abseits legen. {rest}"],
  ["Check that the unit belongs to this lot.", "Prüfen, ob das Teil in dieses Los gehört."], ["Check the label.", "Etikett prüfen."],
  ["Look for a short between {one:w} and {other:w}.", "Kurzschluss suchen zwischen {one} und {other}."],
  ["Seat the unit in its nest again, then run it once more.", "Neu einlegen und noch einmal prüfen."],
  ["Check pin, connector and electrode at {place:w}.", "Stift, Stecker und Elektrode an {place} prüfen."], ["Check electrode and connector at {place:w}.", "Elektrode und Stecker an {place} prüfen."],
  ["Look for a source of disturbance near the station, then run it once more.", "Bei der Station nach einer Störquelle suchen, dann noch einmal prüfen."],
  ["Look for a source of disturbance near the station.", "Bei der Station nach einer Störquelle suchen."],
  ["Check the unit's supply.", "Versorgung des Teils prüfen."], ["Check the electrode at {place:w}.", "Elektrode an {place} prüfen."], ["Check the glue at {place:w}.", "Kleber an {place} prüfen."],
  ["Check the traces between {one:w} and {other:w}.", "Leiterbahnen zwischen {one} und {other} prüfen."], ["Check the unit's memory.", "Speicher des Teils prüfen."],
  ["Its trims are not proven.", "Seine Abgleichwerte sind nicht nachgewiesen."], ["Press {place:w} by hand.", "Von Hand drücken: {place}."],
  ["Check what lies on {place:w}, and its electrode.", "Ansehen, was auf {place} liegt, und ihre Elektrode."], ["Have it looked at.", "Ansehen lassen."], ["Check cable and connector.", "Kabel und Stecker prüfen."],
  ["Let it stand for a while, then run it once more.", "Eine Weile stehen lassen, dann noch einmal prüfen."],
  ["Check electrode, glue and overlay at {place:w}.", "Elektrode, Kleber und Deckglas an {place} prüfen."], ["Check electrode and glue at {place:w}.", "Elektrode und Kleber an {place} prüfen."],
  ["Check overlay and glue at {place:w}.", "Deckglas und Kleber an {place} prüfen."], ["Check the product's settings.", "Einstellungen des Produkts prüfen."],
  ["Check the electrodes of {place:w}.", "Elektroden von {place} prüfen."], ["Check the product's guard and settings.", "Schirmung und Einstellungen des Produkts prüfen."],
  ["Ask the engineer.", "Den Ingenieur fragen."], ["Run it once more, then ask the engineer.", "Noch einmal prüfen, dann den Ingenieur fragen."],
  ["Keep in quarantine: keep it apart, do not ship it.", "Gesperrt lassen: getrennt aufbewahren, nicht ausliefern."], ["It was written to and is not proven.", "Es wurde beschrieben, aber nicht nachgewiesen."],
  ["Run the unit again.", "Das Teil noch einmal prüfen."], ["Check the unit's connection, then run it again.", "Verbindung des Teils prüfen, dann noch einmal prüfen."],
  ["Mend the fault, then run the unit again.", "Störung beheben, dann das Teil noch einmal prüfen."],
  ["Keep the unit: it was measured only and is not adjusted.", "Das Teil behalten: es wurde nur gemessen und ist nicht abgeglichen."],
];

// A unit that is not run, or not run again.
const refused = [
  ["The unit says product code {code:n}, and '{product}' is {other:n}.", "Das Teil nennt den Produktcode {code}, und \u201e{product}\u201c ist {other}."], ["Nothing was done to it.", "Nichts wurde daran getan."],
  ["Take it out: it belongs to another lot.", "Herausnehmen: es gehört zu einem anderen Los."],
  ["The lot has its {n:n} units; this one lay in the nest and is not of it.", "Das Los hat seine {n} Teile; dieses lag noch im Nest und gehört nicht dazu."], ["Take it out, or run it in the next lot.", "Herausnehmen oder im nächsten Los prüfen."],
  ["The unit watches this station (padtrim shift-check) and is never adjusted; it was not touched.", "Das Teil überwacht diese Station (Schichtprüfung) und wird nie abgeglichen; ihm geschah nichts."], ["Take it out.", "Herausnehmen."],
  ["The unit is neither a check standard nor the challenge unit of this fixture.", "Das Teil ist weder Prüfnormal noch Fehlerteil dieser Aufnahme."], ["Take it out, and lay in those that the profile names.", "Herausnehmen und die einlegen, die das Profil nennt."],
  ["The unit is quarantined.", "Das Teil ist gesperrt."], ["Keep it apart, do not ship it; a person decides before it is run again.", "Getrennt aufbewahren, nicht ausliefern; erst entscheidet eine Person, dann läuft es wieder."],
  ["The unit was scrapped.", "Das Teil ist Ausschuss."], ["Take it out of the lot.", "Aus dem Los nehmen."],
  ["The unit has passed in this lot already; it is not run twice.", "Das Teil war in diesem Los schon gut; es wird nicht zweimal geprüft."], ["Put it with the good ones.", "Zu den guten legen."],
  ["The unit passed in lot {lot} on {day:t} already.", "Das Teil war in Los {lot} am {day} schon gut."], ["Take it out, or start a lot that runs passed units again.", "Herausnehmen, oder ein Los starten, das gute Teile noch einmal prüft."],
  ["The unit was run {n:n} times and did not pass; the recipe allows {most:n} runs.", "Das Teil wurde {n}-mal geprüft und war nicht gut; das Rezept erlaubt {most} Prüfungen."],
  ["Put it apart: a person decides what becomes of it (rework lets it run again).", "Abseits legen: eine Person entscheidet, was daraus wird (nach Nacharbeit darf es wieder geprüft werden)."],
  ["The unit had its verdict ({verdict:w}) before the station stopped.", "Das Teil hatte sein Urteil ({verdict}), bevor die Station anhielt."], ["Load it again to run it again.", "Neu einlegen, um es noch einmal zu prüfen."],
  ["Label and unit differ: {label} was scanned for nest {n:n}, and the unit in it says {serial}.", "Etikett und Teil passen nicht zusammen: für Nest {n} wurde {label} gescannt, das Teil darin heißt {serial}."],
  ["Take it out, then scan the label of the unit that you lay in.", "Herausnehmen, dann das Etikett des Teils scannen, das eingelegt wird."],
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
