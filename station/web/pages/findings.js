// The finding that stands over a sheet, as one sentence made of the station's figures; where there is
// none, the question that the sheet answers.

import { fixed } from "/local.js";
import { filters, sheet } from "/question.js";
import { inWords } from "/sentences.js";
import { t } from "/texts.js";

const one = (name, n) => (n === 1 ? `${name} one` : name);
const placeOf = ({ check, where }) => [check, where].filter(Boolean).map(inWords).join(", ");

const worded = {
  differ: () => t("finding differ"), alike: () => t("finding alike"),
  least: (found) => t("finding capability", { index: fixed(found.index, 2), what: placeOf(found) }),
  signals: (found) => t("finding signals", found), steady: (found) => t(sheet.name === "drift" ? "finding no drift" : "finding steady", found),
  station: (found) => t("finding station", found), product: (found) => t("finding product", found), both: (found) => t("finding both", found), "too few": () => t("finding too few"),
  fit: (found) => t("finding fit", { share: Math.round(100 * found.share) }), "not fit": (found) => t("finding not fit", { share: Math.round(100 * found.share), what: placeOf(found) }),
  doubt: (found) => t("finding doubt", found), trusted: () => t("finding trusted"), unchecked: () => t("finding unchecked"),
  units: ({ which, n, more }) => t(one(`finding ${which}`, n), { n: more ? `${n}+` : n }),
  inspection: ({ product, severity, since, ...found }) => t(severity === "stopped" ? "finding stopped" : since === null ? "finding inspection next" : "finding inspection", { ...found, product, since, severity: t(`inspection ${severity}`) }),
  touched(found) {
    const relay = filters().get("relay"), step = filters().get("step");
    return t(one(`finding touched${relay ? " relay" : step ? " step" : ""}`, found.n), { ...found, relay, step });
  },
};

export const foundBy = (found) => (found && worded[found.kind](found)) || t(`question ${sheet.name}`);
