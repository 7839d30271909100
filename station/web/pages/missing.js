// The page that is not there, in the reader's language.

import { t } from "/texts.js";
import { footBar } from "/bar.js";
import { language } from "/settings.js";

footBar();
document.documentElement.lang = language();
document.title = t("noPage");
document.querySelector("h1").textContent = t("noPageHere");
document.querySelector("a").textContent = t("toStation");
