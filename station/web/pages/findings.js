// The finding that stands over a sheet, as one sentence made of the station's figures; where there is
// none, the question that the sheet answers.

import { fixed, precise } from "/local.js";
import { filters, sheet } from "/question.js";
import { inWords } from "/sentences.js";
import { t } from "/texts.js";

const one = (name, n) => (n === 1 ? `${name} one` : name);
const placeOf = ({ check, where }) => [check, where].filter(Boolean).map(inWords).join(", ");

const chanceOf = ({ chance, risk }) => ({ chance: precise(chance, 2), risk: precise(risk, 2) });

const worded = {
  differ: (found) => t("finding differ", chanceOf(found)), alike: (found) => t("finding alike", chanceOf(found)),
  yield: ({ share, ...found }) => t("finding yield", { ...found, share: fixed(100 * share, 1) }),
  least: ({ index, low, high, ...found }) => t(typeof low === "number" && typeof high === "number" ? "finding capability between" : "finding capability", { index: fixed(index, 2), low: fixed(low ?? 0, 2), high: fixed(high ?? 0, 2), what: placeOf(found) }),
  signals: (found) => t("finding signals", found), steady: (found) => t(sheet.name === "drift" ? "finding no drift" : "finding steady", found),
  station: (found) => t("finding station", found), product: (found) => t("finding product", found), both: (found) => t("finding both", found), "too few": () => t("finding too few"),
  fit: (found) => t("finding fit", { share: Math.round(100 * found.share) }), "not fit": (found) => t("finding not fit", { share: Math.round(100 * found.share), what: placeOf(found) }),
  doubt: (found) => t("finding doubt", found), trusted: () => t("finding trusted"), unchecked: () => t("finding unchecked"),
  units: ({ which, n, more }) => t(one(`finding ${which}`, n), { n: more ? `${n}+` : n }),
  inspection: ({ product, severity, since, ...found }) => t(severity === "stopped" ? "finding stopped" : since === null ? "finding inspection next" : "finding inspection", { ...found, product, since, severity: t(`inspection ${severity}`) }),
  acts: (found) => t(found.n === 0 ? "finding no acts" : one("finding acts", found.n), found),
  touched(found) {
    const relay = filters().get("relay"), step = filters().get("step");
    return t(one(`finding touched${relay ? " relay" : step ? " step" : ""}`, found.n), { ...found, relay, step });
  },
};

export const foundBy = (found) => (found && worded[found.kind](found)) || t(`question ${sheet.name}`);
