// Texts of one step alone, and of what becomes of a recipe, in the tables of texts.js.

export const en = {
  alone: "One step alone", aloneNote: "Identifies one unit and does this step to it: a draft that only measures. Nothing is written to the unit.",
  aloneWhich: "Step", aloneNest: "Nest", aloneRun: "Run it alone", aloneAsk: "The finger moves and the unit gets power: hands out, guard closed. Run {step} alone in nest {nest}?",
  aloneLot: "Lot {lot}", aloneRuns: "Step {step} runs in nest {nest}.", aloneWaits: "Nest {nest} waits for its unit: lay it in, hands out, then say so here.", aloneLay: "It lies in nest {nest}", aloneNone: "No unit was measured. {why}", notYourDraft: "Steps alone are an engineer's.",
  ownRecipe: "This station's recipe", changesSince: "Changes since release {n}", noChanges: "Nothing changed since release {n}.", noBefore: "Nothing of this recipe is released, so there is nothing to compare with.",
  change: "Change", inDocument: "In", beforeIt: "Before", afterIt: "Now", whatChanged: "What changed since release {n}", firstOfIts: "The first of its recipe.",
  releaseIt: "Release it", releaseAsk: "Plan {hash} runs in production from then on. Kept with your name and the reason.", permitIt: "Permit a deviation",
  permitAsk: "Lets this plan through until a time or for so many units, though it is not released. Kept with your name and the reason.",
  permitName: "Name of the deviation", permitUntil: "Until, UTC (2026-03-31 or 2026-03-31T08:15; empty: no time)", permitUnits: "Units (empty: no number)",
  withdrawIt: "Withdraw {n}", withdrawAsk: "Nothing starts on release {n} any more; a lot that runs goes on to its end. Permits that deviate from it fall with it.",
  permits: "Deviation permits", noPermits: "No deviation was permitted in these records.", permitHead: "Permit", untilHead: "Ends", usedHead: "Units", open: "in force", notYourRelease: "Releases and permits are an engineer's.",
  noWhy: "Give a reason.",
};

export const de = {
  alone: "Ein Schritt allein", aloneNote: "Erkennt ein Teil und macht diesen Schritt mit ihm: ein Entwurf, der nur misst. Ins Teil wird nichts geschrieben.",
  aloneWhich: "Schritt", aloneNest: "Nest", aloneRun: "Allein ausführen", aloneAsk: "Der Finger bewegt sich und das Teil bekommt Spannung: Hände heraus, Schutzhaube zu. {step} allein in Nest {nest} ausführen?",
  aloneLot: "Los {lot}", aloneRuns: "Schritt {step} läuft in Nest {nest}.", aloneWaits: "Nest {nest} wartet auf sein Teil: einlegen, Hände heraus, dann hier sagen.", aloneLay: "Es liegt in Nest {nest}", aloneNone: "Kein Teil wurde gemessen. {why}", notYourDraft: "Schritte allein gehören dem Ingenieur.",
  ownRecipe: "Das Rezept dieser Station", changesSince: "Änderungen seit Freigabe {n}", noChanges: "Seit Freigabe {n} hat sich nichts geändert.", noBefore: "Von diesem Rezept ist nichts freigegeben, also gibt es nichts zu vergleichen.",
  change: "Änderung", inDocument: "In", beforeIt: "Vorher", afterIt: "Jetzt", whatChanged: "Was sich seit Freigabe {n} geändert hat", firstOfIts: "Die erste ihres Rezepts.",
  releaseIt: "Freigeben", releaseAsk: "Plan {hash} läuft von da an in der Fertigung. Bleibt mit Name und Grund erhalten.", permitIt: "Abweichung erlauben",
  permitAsk: "Lässt diesen Plan bis zu einer Zeit oder für so viele Teile durch, obwohl er nicht freigegeben ist. Bleibt mit Name und Grund erhalten.",
  permitName: "Name der Abweichung", permitUntil: "Bis, UTC (2026-03-31 oder 2026-03-31T08:15; leer: keine Zeit)", permitUnits: "Teile (leer: keine Zahl)",
  withdrawIt: "{n} zurückziehen", withdrawAsk: "Auf Freigabe {n} beginnt nichts mehr; ein laufendes Los geht zu Ende. Erlaubnisse, die von ihr abweichen, fallen mit ihr.",
  permits: "Erlaubte Abweichungen", noPermits: "In diesen Aufzeichnungen wurde keine Abweichung erlaubt.", permitHead: "Erlaubnis", untilHead: "Endet", usedHead: "Teile", open: "in Kraft", notYourRelease: "Freigaben und Erlaubnisse gehören dem Ingenieur.",
  noWhy: "Einen Grund angeben.",
};
