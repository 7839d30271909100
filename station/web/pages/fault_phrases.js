// What goes wrong at ports, devices and in a run: fixtures/drivers, fixtures/serial, station/engine.

const devices = [
  ["unit in nest {n:n} on {port}", "Teil in Nest {n} an {port}"], ["unit in nest {n:n}", "Teil in Nest {n}"], ["relay board on {port}", "Relaiskarte an {port}"],
  ["motion controller on {port}", "Bewegungssteuerung an {port}"], ["climate sensor on {port}", "Klimasensor an {port}"], ["meter on {port}", "Messgerät an {port}"],
  ["relay board", "Relaiskarte"], ["motion controller", "Bewegungssteuerung"], ["climate sensor", "Klimasensor"], ["meter", "Messgerät"],
  ["nest {n:n}", "Nest {n}"], ["process {n:n}[ ({name})]", "Prozess {n}[ ({name})]"],
];

// Requests, and what was wrong with a reply.
const exchanges = [
  ["read coils {at:w}", "Relais {at} lesen"], ["read discrete inputs {at:w}", "Eingänge {at} lesen"], ["read holding registers {at:w}", "Register {at} lesen"], ["read input registers {at:w}", "Eingangsregister {at} lesen"],
  ["write one coil {at:w}", "Relais {at} schreiben"], ["write one register {at:w}", "Register {at} schreiben"], ["write coils {at:w}", "Relais {at} schreiben"], ["write registers {at:w}", "Register {at} schreiben"],
  ["illegal function (01)", "Funktion nicht erlaubt (01)"], ["illegal data address (02)", "Adresse nicht erlaubt (02)"], ["illegal data value (03)", "Wert nicht erlaubt (03)"], ["server device failure (04)", "Gerät gestört (04)"],
  ["acknowledge (05)", "angenommen, noch nicht getan (05)"], ["server device busy (06)", "Gerät beschäftigt (06)"], ["memory parity error (08)", "Speicherfehler (08)"],
  ["gateway path unavailable (0A)", "kein Weg durch den Umsetzer (0A)"], ["gateway target failed to respond (0B)", "Ziel hinter dem Umsetzer antwortet nicht (0B)"], ["exception code {n:n}", "Fehlercode {n}"],
  ["the reply is sound", "die Antwort ist in Ordnung"], ["the reply broke off", "die Antwort brach ab"], ["the reply was garbled (its checksum is wrong)", "die Antwort war verstümmelt (Prüfsumme falsch)"],
  ["another unit address answered", "eine andere Adresse antwortete"], ["the reply belongs to another function", "die Antwort gehört zu einer anderen Funktion"],
  ["the reply carries another number of values", "die Antwort hat eine andere Zahl von Werten"], ["the reply confirms another write", "die Antwort bestätigt einen anderen Schreibbefehl"],
];

const bus = [
  ["No answer from the {device:w} within {time:n} ms ({doing:w})[, attempt {n:n}]. Check its power and its cable.", "Keine Antwort: {device}, binnen {time} ms ({doing})[, Versuch {n}]. Versorgung und Kabel prüfen."],
  ["The {device:w} did not answer properly: {why:g} ({doing:w})[, attempt {n:n}]. Check the cable, the line settings and its address.", "{device} antwortete nicht richtig: {why} ({doing})[, Versuch {n}]. Kabel, Einstellungen der Leitung und Adresse prüfen."],
  ["The {device:w} refused: {why:g} ({doing:w}). Check that the register map belongs to this product.", "{device} lehnte ab: {why} ({doing}). Prüfen, ob die Registerkarte zu diesem Produkt gehört."],
  ["The {device:w} refused: {why:g} ({doing:w}). Check that the fixture profile belongs to this device.", "{device} lehnte ab: {why} ({doing}). Prüfen, ob das Profil der Aufnahme zu diesem Gerät gehört."],
  ["The {device:w} has {n:n} inputs, and input {input:n} is asked for. Correct the fixture profile.", "{device} hat {n} Eingänge, verlangt ist Eingang {input}. Das Profil der Aufnahme berichtigen."],
  ["The {device:w} has {n:n} coils, and coil {coil:n} is asked for. Correct the fixture profile.", "{device} hat {n} Relais, verlangt ist Relais {coil}. Das Profil der Aufnahme berichtigen."],
  ["On the {device:w} these coils do not follow: {coils:w}. Check the relays and their supply; do not go on with this fixture.", "{device}: diese Relais folgen nicht: {coils}. Relais und ihre Versorgung prüfen; mit dieser Aufnahme nicht weitermachen."],
  ["{rest:w}, {n:n} (stays open)", "{rest}, {n} (bleibt offen)"], ["{rest:w}, {n:n} (stays closed)", "{rest}, {n} (bleibt geschlossen)"], ["{n:n} (stays open)", "{n} (bleibt offen)"], ["{n:n} (stays closed)", "{n} (bleibt geschlossen)"],
  ["The {device:w} reports {t:f} degC and {h:f} %RH, which cannot be. Check its registers and scales in the fixture profile.", "{device} meldet {t} °C und {h} % Feuchte, was nicht sein kann. Register und Maßstäbe im Profil der Aufnahme prüfen."],
  ["The {device:w} has a serial number that cannot be kept: it is empty. Have its number written again, or check the register map.", "{device} hat eine leere Seriennummer. Die Nummer neu schreiben lassen oder die Registerkarte prüfen."],
  ["The {device:w} has a serial number that cannot be kept: it reads \"{serial}\". Have its number written again, or check the register map.", "{device} hat eine Seriennummer, die sich nicht aufbewahren lässt: \u201e{serial}\u201c. Die Nummer neu schreiben lassen oder die Registerkarte prüfen."],
  ["The {device:w} does not enter test mode: it reads {held} and not {wanted}.", "{device} geht nicht in den Prüfbetrieb: dort steht {held} statt {wanted}."],
  ["The {device:w} does not enter test mode: it says {held} and not {wanted}.", "{device} geht nicht in den Prüfbetrieb: dort steht {held} statt {wanted}."],
  ["The {device:w} does not leave test mode: it reads {held} and not {wanted}.", "{device} verlässt den Prüfbetrieb nicht: dort steht {held} statt {wanted}."],
  ["The {device:w} does not leave test mode: it says {held} and not {wanted}.", "{device} verlässt den Prüfbetrieb nicht: dort steht {held} statt {wanted}."],
  ["The {device:w} does not count its scans: the counter stands at {n:n} after a trigger. Check test mode and the register map.", "{device} zählt seine Abtastungen nicht: der Zähler steht nach dem Anstoß auf {n}. Prüfbetrieb und Registerkarte prüfen."],
  ["The {device:w} does not count its scans. Check test mode and the register map.", "{device} zählt seine Abtastungen nicht. Prüfbetrieb und Registerkarte prüfen."],
  ["The {device:w} did not finish a scan within {time:f}. Check its supply and the scan time of the register map.", "{device} wurde binnen {time} mit keiner Abtastung fertig. Versorgung und Abtastzeit der Registerkarte prüfen."],
  ["The {device:w} did not finish a scan. Check its supply and the times of the map.", "{device} wurde mit keiner Abtastung fertig. Versorgung und Zeiten der Registerkarte prüfen."],
  ["The {device:w} tells its supply as what is no number. Check the register map.", "{device} nennt seine Versorgung nicht als Zahl. Die Registerkarte prüfen."],
  ["The {device:w} was not written to: a trim is missing or does not fit its register.", "{device} wurde nicht beschrieben: ein Abgleichwert fehlt oder passt nicht in sein Register."],
  ["The {device:w} was not written to: a trim is missing or is no value of its cell.", "{device} wurde nicht beschrieben: ein Abgleichwert fehlt oder ist kein Wert für seine Zelle."],
  ["The {device:w} did not finish storing its trims[ within {time:f}][. {mend:s}]", "{device} wurde mit dem Speichern der Abgleichwerte nicht fertig[, binnen {time}]. [{mend}]"],
  ["The {device:w} answers \"{ask}\" with {n:n} values; {of:n} that its cell can be are wanted. Check the register map.", "{device} antwortet auf \u201e{ask}\u201c mit {n} Werten; verlangt sind {of}, die in seine Zelle passen. Die Registerkarte prüfen."],
  ["The {device:w} answers \"{ask}\" with nothing that can be kept. Check the register map.", "{device} antwortet auf \u201e{ask}\u201c mit nichts, was sich aufbewahren lässt. Die Registerkarte prüfen."],
  ["The {device:w} refused \"{ask}\": \"{reply}\".", "{device} lehnte \u201e{ask}\u201c ab: \u201e{reply}\u201c."],
];

const instruments = [
  ["The {device:w} does not answer \"{ask}\" ({n:n} attempt[s]). Check its power and its cable.", "{device} antwortet nicht auf \u201e{ask}\u201c (Versuche: {n}). Versorgung und Kabel prüfen."],
  ["The {device:w} does not answer \"{ask}\" ({n:n} attempt[s]). Check its supply, the pins and the register map.", "{device} antwortet nicht auf \u201e{ask}\u201c (Versuche: {n}). Versorgung, Stifte und Registerkarte prüfen."],
  ["The {device:w} does not answer \"{ask}\" ({n:n} attempt[s]). Check its supply, its cable and the line settings.", "{device} antwortet nicht auf \u201e{ask}\u201c (Versuche: {n}). Versorgung, Kabel und Einstellungen der Leitung prüfen."],
  ["The {device:w} answers \"{ask}\" ({n:n} attempt[s]) with \"{reply}\". Check the line settings and which instrument this is.", "{device} antwortet auf \u201e{ask}\u201c (Versuche: {n}) mit \u201e{reply}\u201c. Einstellungen der Leitung prüfen, und welches Gerät das ist."],
  ["The {device:w} refuses \"{ask}\": {why}. Check the channels in the fixture profile.", "{device} lehnt \u201e{ask}\u201c ab: {why}. Die Kanäle im Profil der Aufnahme prüfen."],
  ["The {device:w} says that it is \"{name}\", and the profile expects \"{other}\". Check the cables, or correct identity there.", "{device} nennt sich \u201e{name}\u201c, das Profil erwartet \u201e{other}\u201c. Kabel prüfen oder identity dort berichtigen."],
  ["The {device:w} has an error queue that does not end. Switch it off and on.", "{device} hat eine Fehlerliste ohne Ende. Aus- und einschalten."],
  ["The {device:w} has no reading: it is out of its range. Check the adapter's contacts and the meter's setup in the fixture profile.", "{device} hat keinen Messwert: außerhalb seines Bereichs. Kontakte des Adapters und Einstellung des Messgeräts im Profil prüfen."],
  ["The profile of \"{fixture}\" has no meter. Add a \\[meter\\] table to it.", "Das Profil von \u201e{fixture}\u201c hat kein Messgerät. Eine Tabelle \\[meter\\] hinzufügen."],
  ["The motion controller cannot share the port {port} with Modbus devices. Correct the fixture profile.", "Die Bewegungssteuerung kann sich den Anschluss {port} nicht mit Modbus-Geräten teilen. Das Profil der Aufnahme berichtigen."],
  ["One of the motion controller's patterns is no regular expression. Correct the fixture profile.", "Eins der Muster der Bewegungssteuerung ist kein regulärer Ausdruck. Das Profil der Aufnahme berichtigen."],
  ["A unit that talks in text lines cannot share the port {port}. Correct the fixture profile.", "Ein Teil, das in Textzeilen spricht, kann sich den Anschluss {port} nicht teilen. Das Profil der Aufnahme berichtigen."],
  ["Nest {n:n} is behind a multiplexer on the port of the relay board that switches it. Correct the fixture profile.", "Nest {n} liegt hinter einem Umschalter am Anschluss der Relaiskarte, die ihn schaltet. Das Profil der Aufnahme berichtigen."],
  ["Two devices on the port {port} want different line settings. Correct the fixture profile.", "Zwei Geräte am Anschluss {port} wollen verschiedene Einstellungen. Das Profil der Aufnahme berichtigen."],
];

const finger = [
  ["The {device:w} reports its position as \"{reply}\", which holds no three lengths. Check the profile's position_reply.", "{device} meldet den Ort als \u201e{reply}\u201c; darin sind keine drei Längen. position_reply im Profil prüfen."],
  ["The {device:w} refused: \"{line}\". Check the line to it.", "{device} lehnte ab: \u201e{line}\u201c. Die Leitung dorthin prüfen."],
  ["The {device:w} stopped by itself (it said \"{line}\") and does not know where the finger is. {mend:s}", "{device} hielt von selbst an (\u201e{line}\u201c) und weiß nicht, wo der Finger ist. {mend}"],
  ["The {device:w} was reset (it said \"{line}\") and does not know where the finger is. {mend:s}", "{device} begann von vorn (\u201e{line}\u201c) und weiß nicht, wo der Finger ist. {mend}"],
  ["Look that nothing is in its way, that nobody reached in, and check its supply; then begin anew: it homes first.", "Nachsehen, dass nichts im Weg ist und niemand hineingreift, und die Versorgung prüfen; dann neu beginnen: zuerst macht er eine Referenzfahrt."],
  ["Look that nothing is in its way and that nobody reached in, then begin anew: it homes first.", "Nachsehen, dass nichts im Weg ist und niemand hineingreift, dann neu beginnen: zuerst macht er eine Referenzfahrt."],
  ["The finger of the {device:w} does not know its place.", "Der Finger ({device}) kennt seinen Ort nicht."], ["The finger of the {device:w} was reset.", "Der Finger ({device}) begann von vorn."],
  ["The finger of the {device:w} stopped by itself (it said \"{line}\").", "Der Finger ({device}) hielt von selbst an (\u201e{line}\u201c)."],
  ["The finger of the {device:w} stands at {at:f} and not at {other:f}.", "Der Finger ({device}) steht bei {at} statt bei {other}."],
  ["The finger of the {device:w} still moves at {at:f}, long after it should have arrived.", "Der Finger ({device}) bewegt sich noch bei {at}, lange nachdem er da sein sollte."],
  ["The move was aborted.", "Die Bewegung wurde abgebrochen."], ["If it is held since a stop, take the drives' power away and give it back.", "Steht er seit einem Halt fest, den Antrieben die Spannung nehmen und wiedergeben."],
  ["A way from {from:f} to {to:f} is neither upright nor level at or above the safe height; it was not begun.", "Ein Weg von {from} nach {to} ist weder senkrecht noch waagrecht auf sicherer Höhe oder darüber; er wurde nicht begonnen."],
  ["The profile has no line that stops the finger: it drives to the end of its way.", "Das Profil hat keine Zeile, die den Finger anhält: er fährt bis ans Ende seines Weges."],
  ["It did not take the stop: the finger may still move.", "Den Halt nahm er nicht an: der Finger kann sich noch bewegen."],
  ["A move to {to:f} leaves the travel of {travel:f}; it was not made. Check the key positions and the nest's origin.", "Eine Bewegung nach {to} verlässt den Weg von {travel}; sie wurde nicht gemacht. Orte der Tasten und Ursprung des Nests prüfen."],
  ["The guard door is open (input {n:n} of the {device:w}); no motion is commanded.", "Die Schutztür ist offen (Eingang {n}, {device}); keine Bewegung wird befohlen."], ["Close the guard, hands out.", "Schutztür schließen, Hände heraus."],
  ["The emergency stop is open (input {n:n} of the {device:w}); no motion is commanded. Make sure that nobody is in danger, then release and reset it.", "Der Not-Halt ist offen (Eingang {n}, {device}); keine Bewegung wird befohlen. Sicher sein, dass niemand in Gefahr ist, dann lösen und rückstellen."],
  ["Guard or emergency stop is open. Close it, hands out, then press Enter once more.", "Schutztür oder Not-Halt ist offen. Schließen, Hände heraus, dann noch einmal Enter."],
  ["Answer when that is done and hands are out.", "Antworten, wenn das getan ist und die Hände heraus sind."],
  ["Nobody has said yet that the finger may move.", "Noch hat niemand gesagt, dass sich der Finger bewegen darf."],
];

const ports = [
  ["{port}: the link was cut. Check the cable.", "{port}: die Verbindung wurde getrennt. Kabel prüfen."],
  ["Waiting was aborted.", "Das Warten wurde abgebrochen."], ["Waiting for [the ]{device:w} was aborted.", "Das Warten auf {device} wurde abgebrochen."], ["Connecting to {path} was aborted.", "Das Verbinden mit {path} wurde abgebrochen."],
  ["Writing to {path} was aborted.", "Das Schreiben an {path} wurde abgebrochen."], ["Nothing came from {path} in time.", "Von {path} kam nichts in der Zeit."], ["There is no connection to {path}.", "Es gibt keine Verbindung zu {path}."],
  ["The connection to {path} was lost: {why}. Check the network; the next request connects again.", "Die Verbindung zu {path} ging verloren ({why}). Netz prüfen; die nächste Anfrage verbindet neu."],
  ["Nothing can be reached at {path}: {why:w}. Check the network and the instrument's supply, or correct tcp in the fixture profile.", "Unter {path} ist nichts zu erreichen ({why}). Netz und Versorgung des Geräts prüfen, oder tcp im Profil der Aufnahme berichtigen."],
  ["no answer in time", "keine Antwort in der Zeit"], ["{path} was lost: {why}. Check the cable; the next request opens it again.", "{path} ging verloren ({why}). Kabel prüfen; die nächste Anfrage öffnet ihn neu."], ["{path} is not open.", "{path} ist nicht offen."],
  ["{path} is in use by {who:w}. Stop it, or name another port in the fixture profile.", "{path} ist schon in Gebrauch: {who}. Anhalten, oder im Profil der Aufnahme einen anderen Anschluss nennen."],
  ["this program itself", "dieses Programm selbst"], ["another process", "ein anderer Prozess"],
  ["{path} is not the place of a TCP port. Write \"host:port\" in the fixture profile.", "{path} ist kein Ort eines TCP-Anschlusses. Im Profil der Aufnahme \u201ehost:port\u201c schreiben."],
  ["There is no port {path}. Plug it in, or correct its name in the fixture profile.", "Es gibt keinen Anschluss {path}. Einstecken, oder den Namen im Profil der Aufnahme berichtigen."],
  ["There are no ports below {path}.", "Unter {path} gibt es keine Anschlüsse."], ["Below {path} there are: {list}, and more.", "Unter {path} gibt es: {list} und mehr."], ["Below {path} there are: {list}.", "Unter {path} gibt es: {list}."],
  ["{path} may not be opened: {why}. Give this user the right to serial ports (often group dialout).", "{path} darf nicht geöffnet werden ({why}). Diesem Benutzer das Recht auf serielle Anschlüsse geben (oft Gruppe dialout)."],
  ["{path} cannot be opened: {why}. Check the cable and the port's name in the fixture profile.", "{path} lässt sich nicht öffnen ({why}). Kabel und Namen des Anschlusses im Profil prüfen."],
  ["{path} cannot run at {n:n} bit/s: use a customary rate such as 9600, 19200 or 115200.", "{path} kann {n} bit/s nicht: eine übliche Rate nehmen, etwa 9600, 19200 oder 115200."],
  ["{path} is not a serial port. Correct its name in the fixture profile.", "{path} ist kein serieller Anschluss. Den Namen im Profil der Aufnahme berichtigen."],
  ["{path} does not take its line settings: {why}.", "{path} nimmt seine Einstellungen nicht an ({why})."],
  ["There is no folder of ports {path}. Plug in the fixture's adapters, or give --ports the folder where the profile's port names are found.", "Es gibt keinen Ordner {path} mit Anschlüssen. Die Adapter der Aufnahme einstecken, oder --ports den Ordner geben, in dem die Namen des Profils stehen."],
];

const run = [
  ["{what:w} in nest {n:n} was not done within {time:f} ms. Look at it before anything is started again.", "{what} in Nest {n} geschah nicht binnen {time} ms. Nachsehen, bevor wieder etwas beginnt."],
  ["{what:w} was not done within {time:f} ms. Look at it before anything is started again.", "{what} geschah nicht binnen {time} ms. Nachsehen, bevor wieder etwas beginnt."],
  ["Opening the references", "Das Öffnen der Referenzen"], ["Lifting the finger", "Das Heben des Fingers"], ["Swinging the target off", "Das Wegschwenken des Ziels"], ["Switching off the supply", "Das Ausschalten der Versorgung"],
  ["Opening all relays", "Das Öffnen aller Relais"], ["the person", "Die Antwort einer Person"],
  ["The pins of nest {n:n} may still be on.", "Die Stifte von Nest {n} können noch anliegen."], ["The finger may still stand low over nest {n:n}.", "Der Finger kann noch tief über Nest {n} stehen."], ["A target may still be in front of the finger.", "Ein Ziel kann noch vor dem Finger stehen."],
  ["The unit in nest {n:n} may still be live: switch its supply off by hand before anybody touches it.", "Das Teil in Nest {n} kann noch unter Spannung stehen: Versorgung von Hand ausschalten, bevor es jemand anfasst."],
  ["An error in padtrim itself ended the lot; units at work have no verdict.", "Ein Fehler in padtrim selbst beendete das Los; Teile in Arbeit haben kein Urteil."],
  ["The lot ended while this unit was at work.", "Das Los endete, während dieses Teil in Arbeit war."],
  ["Nest {n:n} is closed: {of:n} units in a row had a fault. Look at its supply, pins and cable. The last: {rest:s}", "Nest {n} ist geschlossen: {of} Teile nacheinander hatten eine Störung. Versorgung, Stifte und Kabel ansehen. Die letzte: {rest}"],
  ["Nest {n:n} now holds '{serial}' and not the unit that was measured. Nothing was written to either.", "In Nest {n} liegt jetzt \u201e{serial}\u201c und nicht das gemessene Teil. Keins von beiden wurde beschrieben."],
  ["Load the next unit into nest {n:n}.", "Das nächste Teil in Nest {n} legen."],
  ["It calls for help: {n:n} units in a row failed on {check:w}. The last: {rest:s} Look at pins, finger and fixture. Go on?", "Es ruft Hilfe: {n} Teile nacheinander scheiterten an: {check}. Das letzte: {rest} Stifte, Finger und Aufnahme ansehen. Weiter?"],
  ["It calls for help: {n:n} units in a row failed on {check:w}. The last: {rest:s}", "Es ruft Hilfe: {n} Teile nacheinander scheiterten an: {check}. Das letzte: {rest}"],
  ["Nest {n:n} is closed, nobody let it go on: {of:n} units in a row failed on {check:w}. The last: {rest:s}", "Nest {n} ist geschlossen, niemand ließ es weitergehen: {of} Teile nacheinander scheiterten an: {check}. Das letzte: {rest}"],
  ["No fixture is plugged in, or one without a number; \"{fixture}\" is number {n:n}. Nothing was moved. Plug in the right one, or use the profile of this one.", "Keine Aufnahme steckt, oder eine ohne Nummer; \u201e{fixture}\u201c ist Nummer {n}. Nichts wurde bewegt. Die richtige einstecken, oder das Profil dieser nehmen."],
  ["The fixture that is plugged in says that it is number {one:n}; \"{fixture}\" is number {n:n}. Nothing was moved. Plug in the right one, or use the profile of this one.", "Die eingesteckte Aufnahme nennt sich Nummer {one}; \u201e{fixture}\u201c ist Nummer {n}. Nichts wurde bewegt. Die richtige einstecken, oder das Profil dieser nehmen."],
  ["The stack light does not follow: {why:s}", "Die Signalsäule folgt nicht: {why}"],
  ["Lay {what} on the panel in nest {n:n}. Does it lie there, and are your hands away?", "{what} auf das Feld in Nest {n} legen. Liegt es da, und sind die Hände weg?"], ["Take {what} off and dry the panel in nest {n:n}. Is it dry?", "{what} wegnehmen und das Feld in Nest {n} trocknen. Ist es trocken?"],
  ["The unit's scan counter stood still at {n:n}, so its counts are not new. Run the unit again; set it aside if it repeats.", "Der Abtastzähler des Teils blieb bei {n} stehen, seine Werte sind also nicht neu. Noch einmal prüfen; abseits legen, wenn es sich wiederholt."],
  ["The unit in nest {n:n} left its test mode by itself: it restarted while it was measured, or another unit was put into the nest. Check its supply and its pins.", "Das Teil in Nest {n} verließ den Prüfbetrieb von selbst: es startete beim Messen neu, oder ein anderes Teil kam ins Nest. Versorgung und Stifte prüfen."],
  ["The recipe touches keys, but the fixture has no dummy finger. Use a fixture profile with one.", "Das Rezept berührt Tasten, aber die Aufnahme hat keinen Prüffinger. Ein Profil mit Finger nehmen."],
  ["After the power-cycle the unit answers as '{serial}', not as the one that was written. Set both aside.", "Nach dem Aus- und Einschalten antwortet das Teil als \u201e{serial}\u201c, nicht als das beschriebene. Beide abseits legen."],
  ["no more units", "keine Teile mehr"], ["stopped by the operator", "vom Bediener angehalten"], ["the permit's quantity is used up", "die erlaubte Stückzahl ist aufgebraucht"], ["the permit has ended", "die Erlaubnis ist abgelaufen"],
];

// Where a fault belongs to, in front of it.
const lead = [["[{serial}] (nest {n:n}): {rest:s}", "[{serial}] (Nest {n}): {rest}"], ["Nest {n:n}: {rest:s}", "Nest {n}: {rest}"], ["{rest:s} Answer yes or no.", "{rest} Ja oder nein?"], ["See {picture}.", "Siehe {picture}."]];

export const phrases = [...bus, ...instruments, ...finger, ...ports, ...run, ...exchanges, ...devices];
export const leading = lead;
