// Texts of what people say for the books alone, in the tables of texts.js: contacts replaced,
// sampling plans, units chosen, inspection that goes on.

export const en = {
  replacedShort: "Contacts were replaced", replacedTitle: "Say what was replaced", replacedWhich: "What was replaced", replaceIt: "Its count begins anew",
  replacedAsk: "Say it once the new parts are in. The count of this coil begins anew; kept with your name and the reason.",
  replacedCaution: "Replacing contacts is work of licensed practice under local codes. Before anybody reaches in: supply off by hardware and secured, drives without power, nobody else at the fixture. This page switches nothing off and protects nobody.",
  replacedRead: "The supply was off by hardware, and is. I have read this.",
  planShortAct: "Set a plan", planTitle: "Set a sampling plan", planProduct: "Product", planStep: "Step that only some units get", planLevel: "Inspection level", planLimit: "AQL, % nonconforming", planDo: "Set the plan",
  planAsk: "From then on each lot gets as many units looked at as level and AQL ask for (ISO 2859-1), beginning with normal inspection. It takes the place of the plan that the step has now; lots that were looked at stay in the books.",
  unitsShort: "Choose units", unitsTitle: "Choose the units of a lot", unitsPlan: "Plan", unitsLot: "Lot", unitsSize: "Units in the lot", unitsDo: "Choose",
  unitsAsk: "Which units are looked at is drawn by chance, once for each lot, before the lot runs: it cannot be drawn again.", unitsNote: "Kept at once. Operators look at these units in the order they come.",
  resumeShort: "Let it go on", resumeTitle: "Let inspection go on", resumeDo: "Let it go on",
  resumeAsk: "Inspection was stopped because too many lots were refused. It goes on tightened, and only once the cause is mended: say what was.",
  booksNote: "Kept with your name, the time and the reason. It is never edited.", booksUnknown: "The station did not answer in time. Look at the sheet again before you say it anew.", noSize: "How many units has the lot? A whole number, 2 or more.", noLotName: "Name the lot.", planOf: "{step} of {product}",
};

export const de = {
  replacedShort: "Kontakte wurden ersetzt", replacedTitle: "Sagen, was ersetzt wurde", replacedWhich: "Was ersetzt wurde", replaceIt: "Die Zählung beginnt neu",
  replacedAsk: "Erst sagen, wenn die neuen Teile drin sind. Die Zählung dieser Spule beginnt neu; bleibt mit Name und Grund erhalten.",
  replacedCaution: "Kontakte ersetzen Fachkräfte nach den örtlichen Vorschriften. Bevor jemand hineingreift: Versorgung am Gerät aus und gesichert, Antriebe ohne Spannung, niemand sonst an der Aufnahme. Diese Seite schaltet nichts aus und schützt niemanden.",
  replacedRead: "Die Versorgung war am Gerät aus und ist es. Ich habe das gelesen.",
  planShortAct: "Plan setzen", planTitle: "Einen Stichprobenplan setzen", planProduct: "Produkt", planStep: "Schritt, den nur manche Teile bekommen", planLevel: "Prüfniveau", planLimit: "AQL, % fehlerhaft", planDo: "Plan setzen",
  planAsk: "Von da an werden aus jedem Los so viele Teile angesehen, wie Niveau und AQL verlangen (ISO 2859-1), zuerst in normaler Prüfung. Er tritt an die Stelle des Plans, den der Schritt jetzt hat; angesehene Lose bleiben in den Büchern.",
  unitsShort: "Teile wählen", unitsTitle: "Die Teile eines Loses wählen", unitsPlan: "Plan", unitsLot: "Los", unitsSize: "Teile im Los", unitsDo: "Wählen",
  unitsAsk: "Welche Teile angesehen werden, wird einmal je Los ausgelost, bevor es läuft: noch einmal geht es nicht.", unitsNote: "Gilt sofort. Die Bediener sehen diese Teile in der Reihenfolge ihres Kommens an.",
  resumeShort: "Weitergehen lassen", resumeTitle: "Die Prüfung weitergehen lassen", resumeDo: "Weitergehen lassen",
  resumeAsk: "Die Prüfung ruht, weil zu viele Lose abgelehnt wurden. Sie geht verschärft weiter, und erst, wenn die Ursache behoben ist: sagen, was es war.",
  booksNote: "Bleibt mit Name, Zeit und Grund erhalten. Geändert wird nichts.", booksUnknown: "Die Station antwortete nicht rechtzeitig. Das Blatt noch einmal ansehen, bevor es neu gesagt wird.", noSize: "Wie viele Teile hat das Los? Eine ganze Zahl, mindestens 2.", noLotName: "Das Los nennen.", planOf: "{step} von {product}",
};
