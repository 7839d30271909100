// What the station says of itself, of people's acts and of recipes' rights: station/main, readiness,
// releases, logins, work by hand.

const hand = [
  ["The finger homes", "Der Finger macht seine Referenzfahrt"], ["The finger is lifted", "Der Finger wird gehoben"], ["The finger makes a step", "Der Finger macht einen Schritt"], ["Every reference off", "Jede Referenz aus"],
  ["The finger goes over key {key} of nest {n:n}, at the safe height", "Der Finger fährt über Taste {key} von Nest {n}, auf sicherer Höhe"],
  ["{reference} on nest {n:n}, channel {channel:n} on", "{reference} an Nest {n}, Kanal {channel} ein"], ["{doing:w}: done.", "{doing}: fertig."], ["{doing:w} (under way).[ Wait for its end.]", "{doing} (noch im Gange). Sein Ende abwarten."],
  ["Every relay is open. Nothing has moved.", "Jedes Relais ist offen. Bewegt hat sich nichts."], ["The finger stands at X {x:f}, Y {y:f}, Z {z:f} mm.", "Der Finger steht bei X {x}, Y {y}, Z {z} mm."],
  ["A reference may still be connected: take the fixture's power away.", "Eine Referenz kann noch anliegen: der Aufnahme die Spannung nehmen."],
  ["Something is under way: {doing:w}. Wait for its end.", "Etwas ist im Gange: {doing}. Sein Ende abwarten."], ["The fixture is not in hand (any more). Take it in hand first.", "Die Aufnahme ist nicht (mehr) in der Hand. Erst in die Hand nehmen."],
  ["The finger does not know its place. Home it first.", "Der Finger kennt seinen Ort nicht. Erst Referenzfahrt."], ["The fixture has no finger.", "Die Aufnahme hat keinen Finger."],
  ["The profile has no finger.stop: a lease that runs out could not end a way. Add stop, with discard or resume.", "Das Profil hat kein finger.stop: eine abgelaufene Frist könnte keinen Weg beenden. stop hinzufügen, mit discard oder resume."],
  ["The profile has no finger.stop: a lease that runs out could not end a way.", "Das Profil hat kein finger.stop: eine abgelaufene Frist könnte keinen Weg beenden."],
  ["Nest {n:n} has no reference \"{reference}\" on channel {channel:n}.", "Nest {n} hat keine Referenz \u201e{reference}\u201c an Kanal {channel}."], ["There is no key \"{key}\" in nest {n:n}.", "In Nest {n} gibt es keine Taste \u201e{key}\u201c."],
  ["Nothing was heard from the person for {n:n} s, so the finger may not move any more.", "Seit {n} s war von niemandem etwas zu hören: der Finger darf sich nicht mehr bewegen."],
  ["A step is {n:n} mm at most along each axis.", "Ein Schritt ist höchstens {n} mm je Achse."], ["The step would leave the finger's travel (travel_x, travel_y, travel_z). It was not made.", "Der Schritt führte aus dem Weg des Fingers hinaus. Er wurde nicht gemacht."],
  ["The finger would end below the panel's surface as the profile states it (surface_height). It was not moved.", "Der Finger käme unter die Oberfläche des Feldes. Er wurde nicht bewegt."],
  ["{who} works on the fixture by hand.[ Wait until it is given back.]", "{who} arbeitet von Hand an der Aufnahme."], ["Nothing was begun.", "Nichts wurde begonnen."], ["The fixture is in your hand: every relay is opened first.", "Die Aufnahme ist in Ihrer Hand: erst wird jedes Relais geöffnet."],
  ["{who} holds the fixture now.", "{who} hat die Aufnahme jetzt."], ["The fixture is in nobody's hand.", "Die Aufnahme ist in niemandes Hand."], ["Take it in hand anew.", "Neu in die Hand nehmen."], ["Nothing moves.", "Nichts bewegt sich."],
  ["It goes on.", "Es geht weiter."], ["Given back by {who}.", "Zurückgegeben von {who}."], ["Stopped by {who}.", "Angehalten von {who}."], ["Every relay is opened; nothing moves any more.", "Jedes Relais wird geöffnet; nichts bewegt sich mehr."],
  ["The finger is told to stop, and every relay is opened.", "Dem Finger wird Halt befohlen, und jedes Relais wird geöffnet."], ["The fixture is not ready.", "Die Aufnahme ist nicht bereit."], ["Wait for its end.", "Sein Ende abwarten."],
  ["There is no such act.", "Das gibt es nicht zu tun."], ["Begun: {what:w}.", "Begonnen: {what}."], ["open every reference", "jede Referenz öffnen"], ["connect {reference}", "{reference} anlegen"], ["home the finger", "Referenzfahrt des Fingers"],
  ["lift the finger", "den Finger heben"], ["step the finger", "ein Schritt des Fingers"], ["finger over {key}", "Finger über {key}"], ["The daemon is leaving.", "Das Programm der Station endet."],
];

const contacts = [
  ["pins of nest {n:n}", "Stifte von Nest {n}"], ["supply of nest {n:n}", "Versorgung von Nest {n}"], ["handler of nest {n:n}", "Zuführung von Nest {n}"], ["port of nest {n:n}", "Anschluss von Nest {n}"],
  ["the meter's open standard", "offenes Normal des Messgeräts"], ["the meter's short standard", "Kurzschlussnormal des Messgeräts"], ["the meter's tip on nest {n:n}, channel {channel:n}", "Spitze des Messgeräts an Nest {n}, Kanal {channel}"],
  ["green lamp", "grüne Lampe"], ["yellow lamp", "gelbe Lampe"], ["red lamp", "rote Lampe"], ["buzzer", "Summer"], ["target \"{name}\"", "Ziel \u201e{name}\u201c"], ["{reference} on nest {n:n}, channel {channel:n}", "{reference} an Nest {n}, Kanal {channel}"],
  ["The {use:w} touched {n:n} times, {share:f} % of their rated life. Replace the pins, then say so: padtrim wear --replaced {coil:n}.", "{use}: {n} Berührungen, {share} % ihrer Lebensdauer. Die Stifte ersetzen und es hier sagen (Spule {coil})."],
  ["The relay of coil {coil:n} ({use:w}) worked {n:n} times, {share:f} % of its rated life. Replace it, then say so: padtrim wear --replaced {again:n}.", "Das Relais der Spule {coil} ({use}) schaltete {n}-mal, {share} % seiner Lebensdauer. Ersetzen und es hier sagen."],
];

const readiness = [
  ["Close the guard, hands out; then a lot can start.", "Schutztür schließen, Hände heraus; dann kann ein Los starten."],
  ["Release the emergency stop once nobody is in danger; then a lot can start.", "Not-Halt lösen, sobald niemand in Gefahr ist; dann kann ein Los starten."],
  ["Release the emergency stop once nobody is in danger.", "Not-Halt lösen, sobald niemand in Gefahr ist."],
  ["Start a lot.", "Ein Los starten."], ["Wait for the next unit.", "Auf das nächste Teil warten."], ["Wait, a moment.", "Warten, gleich."], ["Wait, {time:f}.", "Warten, {time}."], ["Have the station checked.", "Die Station prüfen lassen."], ["Have the plan released.", "Den Plan freigeben lassen."],
  ["There is no good shift check yet.", "Noch gibt es keine gute Schichtprüfung."], ["Run padtrim shift-check with the fixture's check standards.", "Eine Schichtprüfung mit den Prüfnormalen der Aufnahme machen (F2)."],
  ["The last good shift check is {age:f} old ({at:t}[Z][ UTC]).", "Die letzte gute Schichtprüfung ist {age} alt ({at} UTC)."], ["It holds for {time}.", "Sie gilt {time}."],
  ["The shift check of {at:t}[Z][ UTC] blocks the station: {rest:s}", "Die Schichtprüfung vom {at} UTC sperrt die Station: {rest}"], ["The references have another certificate since ({certificate}).", "Die Referenzen haben seitdem einen anderen Schein ({certificate})."],
  ["The reference steps (certificate {certificate}) were due for recalibration on {day:t}. Have them characterised (padtrim reference measure).", "Die Referenzstufen (Schein {certificate}) waren am {day} zur Kalibrierung fällig. Vermessen lassen (padtrim reference measure)."],
  ["The fixture profile names no check standards: between recalibrations nobody sees whether the station still measures as it did.", "Das Profil der Aufnahme nennt keine Prüfnormale: zwischen zwei Kalibrierungen sieht niemand, ob die Station noch misst wie zuvor."],
  ["The shift check says ready. {rest:s}", "Die Schichtprüfung sagt: bereit. {rest}"], ["The shift check says blocked. {rest:s}", "Die Schichtprüfung sagt: gesperrt. {rest}"],
  ["The shift check decides nothing, since it could not be kept. {rest:s}", "Die Schichtprüfung entscheidet nichts, weil sie nicht aufbewahrt werden konnte. {rest}"], ["The shift check decides nothing. {rest:s}", "Die Schichtprüfung entscheidet nichts. {rest}"],
  ["It was stopped by the operator.", "Der Bediener hielt sie an."], ["Not measured in nest {n:n}: {list}. Lay them in, and repeat the shift check.", "In Nest {n} nicht gemessen: {list}. Einlegen und die Schichtprüfung wiederholen."],
];

const rights = [
  ["Recipe {recipe} revision {revision} (plan {plan}) is not released in these records.", "Rezept {recipe}, Stand {revision} (Plan {plan}), ist in diesen Aufzeichnungen nicht freigegeben."],
  ["Recipe {recipe} revision {revision} (plan {plan}) runs as a draft: every result is marked and left out of production figures.", "Rezept {recipe}, Stand {revision} (Plan {plan}), läuft als Entwurf: jedes Ergebnis ist gekennzeichnet und zählt in der Fertigung nicht mit."],
  ["Recipe {recipe} revision {revision} (plan {plan}) is released already: {rest:s}", "Rezept {recipe}, Stand {revision} (Plan {plan}), ist schon freigegeben: {rest}"],
  ["Recipe {recipe} revision {revision} (plan {plan}) has no release to deviate from. Release a revision of this recipe first.", "Rezept {recipe}, Stand {revision} (Plan {plan}), hat keine Freigabe, von der es abweichen könnte. Erst einen Stand dieses Rezepts freigeben."],
  ["Recipe {recipe} revision {revision} (plan {plan}) does not deviate from release {release:n}: no permit is needed.", "Rezept {recipe}, Stand {revision} (Plan {plan}), weicht von Freigabe {release} nicht ab: eine Erlaubnis braucht es nicht."],
  ["Released by {who} on {day:t}[Z][ UTC] (release {release:n}).", "Freigegeben von {who} am {day} UTC (Freigabe {release})."],
  ["Deviation permit {n:n}, {name}, by {who}: {left:n} unit[s] left, until {day:t}[Z][ UTC].", "Erlaubte Abweichung {n}, {name}, von {who}: noch {left} Teile, bis {day} UTC."], ["Deviation permit {n:n}, {name}, by {who}: {left:n} unit[s] left.", "Erlaubte Abweichung {n}, {name}, von {who}: noch {left} Teile."],
  ["Deviation permit {n:n}, {name}, by {who}, until {day:t}[Z][ UTC].", "Erlaubte Abweichung {n}, {name}, von {who}, bis {day} UTC."], ["Deviation permit {n:n}, {name}, by {who}.", "Erlaubte Abweichung {n}, {name}, von {who}."],
  ["Permit {n:n} fell with release {release:n}, which was withdrawn.", "Erlaubnis {n} fiel mit Freigabe {release}, die zurückgezogen wurde."], ["Permit {n:n} ({name}) has let its {units:n} unit[s] through.", "Erlaubnis {n} ({name}) hat ihre {units} Teile durchgelassen."],
  ["Permit {n:n} ({name}) ended on {day:t}[Z][ UTC].", "Erlaubnis {n} ({name}) endete am {day} UTC."], ["It differs from release {release:n} (revision {revision}) by {n:n} change[s].", "Er weicht an {n} Stellen von Freigabe {release} (Stand {revision}) ab."],
  ["Who may do so releases it on the page Plan and margins (/plan, F6). Or run it as a draft, which marks every result.", "Wer es darf, gibt ihn auf der Seite Plan und Reserven frei (/plan, F6). Oder als Entwurf laufen lassen: jedes Ergebnis wird gekennzeichnet."],
  ["Let who may do so release it: padtrim release RECIPE --fixture FILE --unit FILE --records FILE --who NAME --why TEXT. Or run it as a draft with --draft, which marks every result.", "Wer es darf, gibt ihn frei (padtrim release). Oder als Entwurf laufen lassen: jedes Ergebnis wird gekennzeichnet."],
  ["Revision {revision} of {what:w} {name} was released with other contents (release {release:n}): {change:s} Give the changed document a new revision.", "Stand {revision} von {what} {name} wurde mit anderem Inhalt freigegeben (Freigabe {release}): {change} Dem geänderten Dokument einen neuen Stand geben."],
  ["It lets this plan through already; when it has ended, give another.", "Sie lässt diesen Plan schon durch; wenn sie geendet hat, eine neue geben."], ["A permit needs an end: give --until TIME, --quantity N, or both.", "Eine Erlaubnis braucht ein Ende: eine Zeit, eine Stückzahl oder beides."],
  ["A permit needs an end: a time, a number of units, or both.", "Eine Erlaubnis braucht ein Ende: eine Zeit, eine Stückzahl oder beides."], ["The permit's end, {day:t}[Z][ UTC], is past already.", "Das Ende der Erlaubnis, {day} UTC, ist schon vorbei."], ["It is released: no permit is needed.", "Er ist freigegeben: eine Erlaubnis braucht es nicht."],
  ["Step \"{step}\" writes to the unit, and a step alone is measured only. Run the recipe.", "Schritt \u201e{step}\u201c schreibt ins Teil, und ein Schritt allein misst nur. Das ganze Rezept ausführen."],
  ["Step \"{step}\" looks at what was written before, and alone nothing is. Run the recipe.", "Schritt \u201e{step}\u201c sieht nach, was vorher geschrieben wurde, und allein ist nichts geschrieben. Das ganze Rezept ausführen."],
  ["Step \"{step}\" looks at nothing, so that it would show nothing. Choose another.", "Schritt \u201e{step}\u201c sieht nichts an und zeigte also nichts. Einen anderen wählen."],
  ["Release {n:n}: plan {plan} runs in production from now on.", "Freigabe {n}: Plan {plan} läuft von jetzt an in der Fertigung."],
  ["Release {n:n} is withdrawn. Nothing starts on it any more; a lot that runs now goes on to its end.", "Freigabe {n} ist zurückgezogen. Auf ihr beginnt nichts mehr; ein laufendes Los geht zu Ende."],
  ["Permit {n:n} lets the plan through until its end.", "Erlaubnis {n} lässt den Plan bis zu ihrem Ende durch."], ["there is no release {n:n}", "es gibt keine Freigabe {n}."], ["release {n:n} is withdrawn already", "Freigabe {n} ist schon zurückgezogen."],
  ["Give the deviation a name.", "Der Abweichung einen Namen geben."], ["The reason is empty. Give one.", "Der Grund ist leer. Einen nennen."], ["'{text}' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).", "\u201e{text}\u201c ist keine Zeit. 2026-03-31 oder 2026-03-31T08:15 (UTC) schreiben."],
  ["recipe", "Rezept"], ["register map", "Registerkarte"], ["fixture profile", "Profil der Aufnahme"],
];

// What was changed in a document; names stay as the document has them.
const verbs = [["widened", "erweitert"], ["tightened", "verengt"], ["shifted", "verschoben"], ["added", "hinzugefügt"], ["removed", "entfernt"], ["changed", "geändert"]];
const changes = [
  ...verbs.flatMap(([verb, german]) => [
    [`In {place} the limit on {what} was ${verb}: {before:w} before, {after:w} now.`, `In {place} wurde die Grenze für {what} ${german}: vorher {before}, jetzt {after}.`],
    [`In {place} the limit on {what} was ${verb}: it was {before:w}.`, `In {place} wurde die Grenze für {what} ${german}: es war {before}.`], [`In {place} the limit on {what} was ${verb}: {after:w}.`, `In {place} wurde die Grenze für {what} ${german}: {after}.`],
    [`The limit on {what} was ${verb}: {before:w} before, {after:w} now.`, `Die Grenze für {what} wurde ${german}: vorher {before}, jetzt {after}.`],
    [`In {place} {what} was ${verb}: {before:w} before, {after:w} now.`, `In {place} wurde {what} ${german}: vorher {before}, jetzt {after}.`], [`In {place} {what} was ${verb}: it was {before:w}.`, `In {place} wurde {what} ${german}: es war {before}.`],
    [`In {place} {what} was ${verb}: {after:w}.`, `In {place} wurde {what} ${german}: {after}.`], [`In {place} {what} was ${verb}.`, `In {place} wurde {what} ${german}.`],
    [`{what} was ${verb}: {before:w} before, {after:w} now.`, `{what} wurde ${german}: vorher {before}, jetzt {after}.`], [`{what} was ${verb}: it was {before:w}.`, `{what} wurde ${german}: es war {before}.`], [`{what} was ${verb}: {after:w}.`, `{what} wurde ${german}: {after}.`],
    [`{what} was ${verb} at the beginning.`, `{what} wurde am Anfang ${german}.`], [`{what} was ${verb} after {other}.`, `{what} wurde nach {other} ${german}.`], [`{what} was ${verb}.`, `{what} wurde ${german}.`],
  ]),
  ["{what} was moved to the beginning.", "{what} wurde an den Anfang gerückt."], ["{what} was moved behind {other}.", "{what} wurde hinter {other} gerückt."],
];

const acts = [
  ["Lot {lot} runs.[ Wait, or stop it.]", "Los {lot} läuft. Warten oder anhalten."], ["Lot {lot} begins.", "Los {lot} beginnt."], ["Start it again.", "Neu starten."], ["Nothing was started.", "Nichts wurde gestartet."],
  ["The station is blocked: {fault:s} Clear the fault, then POST /api/fault/clear with the operator's name.", "Die Station ist gesperrt: {fault} Die Störung beheben und es hier sagen."],
  ["The plan cannot be read: {why:s}", "Der Plan lässt sich nicht lesen: {why}"], ["The plan is for another fixture, or for another profile of fixture {fixture}.", "Der Plan ist für eine andere Aufnahme, oder für ein anderes Profil der Aufnahme {fixture}."],
  ["The fixture has no nest {n:n}.", "Die Aufnahme hat kein Nest {n}."], ["Use the fixture profile of the daemon.", "Das Profil der Station nehmen."],
  ["The fixture profile names no check standards.", "Das Profil der Aufnahme nennt keine Prüfnormale."], ["Add a \\[shift_check\\] to it: docs/fixture-reference.md.", "Ein \\[shift_check\\] hinzufügen: docs/fixture-reference.md."],
  ["The shift check begins: lay in the check standards and the challenge unit.", "Die Schichtprüfung beginnt: Prüfnormale und Fehlerteil einlegen."],
  ["No lot runs.", "Kein Los läuft."], ["There is nothing to stop.", "Es gibt nichts anzuhalten."], ["No more units are loaded; running ones end.", "Es wird nichts mehr geladen; laufende Teile werden fertig."],
  ["No unit runs in nest {n:n}.", "In Nest {n} läuft kein Teil."], ["There is nothing to abort.", "Es gibt nichts abzubrechen."], ["The unit gets no verdict; if it was written to, it is quarantined.", "Das Teil bekommt kein Urteil; wurde es schon beschrieben, ist es gesperrt."],
  ["The unit runs.", "Das Teil läuft."], ["Nest {n:n} does not wait for a unit.", "Nest {n} wartet nicht auf ein Teil."], ["Nest {n:n} has no rejected unit to put away.", "Nest {n} hat kein abgewiesenes Teil wegzulegen."],
  ["GET /api/status lists them.", "Die Seite zeigt sie."], ["GET /api/status says what each nest does.", "Die Seite zeigt, was jedes Nest tut."], ["GET /api/status says what each nest asks.", "Die Seite zeigt, was jedes Nest fragt."],
  ["Unit {serial} lies apart.", "Teil {serial} liegt abseits."], ["The step goes on.", "Der Schritt geht weiter."], ["Nest {n:n} asks nothing.", "Nest {n} fragt nichts."], ["The station is not blocked.", "Die Station ist nicht gesperrt."],
  ["There is nothing to clear.", "Es gibt nichts zu beheben."], ["The station is ready.", "Die Station ist bereit."],
  ["Nothing was decided.", "Nichts wurde entschieden."], ["No run of a unit '{serial}' has ended in these records.", "In diesen Aufzeichnungen hat kein Lauf eines Teils \u201e{serial}\u201c geendet."], ["Check the serial number.", "Die Seriennummer prüfen."], ["Check the serial.", "Die Seriennummer prüfen."],
  ["Unit {serial} was run again since you looked: run {n:n} is its newest.", "Teil {serial} lief noch einmal, seit Sie es ansahen: Lauf {n} ist sein neuester."], ["Look at it again.", "Noch einmal ansehen."],
  ["Unit of run {run:n} is now: {to:w} ({who}).", "Das Teil aus Lauf {run} ist jetzt: {to} ({who})."], ["No unit of run {run:n} has ended in these records.", "In diesen Aufzeichnungen endete kein Teil in Lauf {run}."],
  ["Unit {serial} is now: {to:w} ({who}).", "Teil {serial} ist jetzt: {to} ({who})."], ["Nothing was kept.", "Nichts wurde festgehalten."], ["Nothing was changed.", "Nichts wurde geändert."],
  ["{unit} may be half-written and cannot be released: run it again, or scrap it", "{unit} kann halb beschrieben sein und lässt sich nicht freigeben: noch einmal prüfen oder verschrotten."],
  ["{unit} was scrapped and cannot be released at once: quarantine it first, with the reason, and look at it again", "{unit} ist Ausschuss und lässt sich nicht gleich freigeben: erst mit Grund sperren und noch einmal ansehen."],
  ["The records do not know this unit.", "Die Aufzeichnungen kennen dieses Teil nicht."], ["There are no observations of this run.", "Von diesem Lauf gibt es keine Beobachtungen."], ["Only runs that ended have them.", "Nur beendete Läufe haben sie."],
  ["Replaced: {what:w}. Counts begin anew.", "Ersetzt: {what}. Die Zählung beginnt neu."], ["GET /api/fixture/wear lists them.", "Die Tabelle zeigt sie."], ["Somebody works on the fixture by hand.", "Jemand arbeitet von Hand an der Aufnahme."], ["Wait for its end, take the supply away, then replace.", "Sein Ende abwarten, die Versorgung wegnehmen, dann ersetzen."],
  ["The cautions have to be read first: supply off by hardware before anybody reaches in; local codes and licensed practice come first.", "Erst die Warnungen lesen: Versorgung am Gerät aus, bevor jemand hineingreift; örtliche Vorschriften und Fachkräfte gehen vor."], ["There is no such coil.", "Diese Spule gibt es nicht."],
  ["The profile uses no coil {n:n}.", "Das Profil benutzt keine Spule {n}."], ["A lot runs.", "Ein Los läuft."],
  ["there are no records '{path}': check the path, or run a lot first, which creates it", "es gibt keine Aufzeichnungen \u201e{path}\u201c: den Pfad prüfen, oder erst ein Los laufen lassen."],
  ["{n:n} acts wait to be stored in '{path}': its disk does not keep up; check the disk, then start again", "{n} Einträge warten darauf, in \u201e{path}\u201c gespeichert zu werden: die Platte kommt nicht nach; prüfen, dann neu starten."],
];

const people = [
  ["A password has 8 to 256 characters.", "Ein Kennwort hat 8 bis 256 Zeichen."], ["There is an administrator already.", "Es gibt schon einen Verwalter."], ["The last administrator stays one. Name another first.", "Der letzte Verwalter bleibt es. Erst einen anderen benennen."],
  ["The last administrator stays. Name another first.", "Der letzte Verwalter bleibt. Erst einen anderen benennen."], ["Nobody has that name.", "Niemand hat diesen Namen."], ["That is not the code that was printed.", "Das ist nicht der ausgegebene Code."],
  ["Look at the code that the daemon printed.", "Den Code ansehen, den die Station ausgab."], ["Too many wrong tries. Try again in {n:n} s.", "Zu viele falsche Versuche. In {n} s noch einmal."], ["Too many people log in at once. Try again in a minute.", "Zu viele melden sich auf einmal an. In einer Minute noch einmal."],
  ["Name or password is wrong.", "Name oder Kennwort ist falsch."], ["Ask an administrator.", "Einen Verwalter fragen."], ["Your role ({role:w}) may not do this. Ask somebody who may.", "Ihre Rolle ({role}) darf das nicht. Jemanden fragen, der es darf."],
  ["Nobody is logged in. POST /api/session, or open the page.", "Niemand ist angemeldet. Die Seite neu öffnen."], ["Too many calls at once. Try again in some seconds.", "Zu viele Anfragen auf einmal. In einigen Sekunden noch einmal."],
  ["Too many questions at once. Ask again in a moment.", "Zu viele Fragen auf einmal. Gleich noch einmal fragen."], ["The station is leaving. Ask again when it is back.", "Das Programm der Station endet. Fragen, wenn es wieder da ist."],
  ["The call does not come from a page of this session. Send the session's proof as X-Padtrim-Proof.", "Die Anfrage kommt nicht von einer Seite dieser Anmeldung. Die Seite neu laden."], ["operator", "Bediener"], ["engineer", "Ingenieur"], ["quality", "Qualität"], ["administrator", "Verwalter"],
  ["The station does not answer.", "Die Station antwortet nicht."], ["The station's answer makes no sense.", "Die Antwort der Station ergibt keinen Sinn."], ["Only an engineer runs a draft or a plan of their own. Run the released plan, or ask an engineer.", "Entwürfe und eigene Pläne führt nur ein Ingenieur aus. Den freigegebenen Plan nehmen, oder einen Ingenieur fragen."],
  ["The name of the {what:w} is empty. Give one.", "Der Name ist leer ({what}). Einen nennen."], ["The name of the {what:w} is longer than {n:n} characters. Shorten it.", "Der Name ({what}) ist länger als {n} Zeichen. Kürzen."],
  ["The name of the {what:w} '{name}' has control characters or is not UTF-8. Leave them out.", "Der Name \u201e{name}\u201c ({what}) hat Steuerzeichen oder ist kein UTF-8. Weglassen."], ["The name of the {what:w} '{name}' begins or ends with a blank. Leave it out.", "Der Name \u201e{name}\u201c ({what}) beginnt oder endet mit einem Leerzeichen. Weglassen."],
  ["person", "Person"], ["lot", "Los"],
];

export const phrases = [...readiness, ...hand, ...contacts, ...rights, ...acts, ...people, ...changes];
