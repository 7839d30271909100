// What a person likes: language, light or dark, their name. Kept in this browser only.

const read = (name) => { try { return localStorage.getItem(name); } catch { return null; } };
const write = (name, value) => { try { localStorage.setItem(name, value); } catch { /* private */ } };

export const languages = ["en", "de"];
export function language() {
  const kept = read("language") ?? navigator.language.slice(0, 2);
  return languages.includes(kept) ? kept : "en";
}
export function nextLanguage() {
  const now = languages.indexOf(language());
  write("language", languages[(now + 1) % languages.length]);
}

const themes = ["auto", "light", "dark"];
export const theme = () => themes.includes(read("theme")) ? read("theme") : "auto";
export function nextTheme() {
  write("theme", themes[(themes.indexOf(theme()) + 1) % themes.length]);
  applyTheme();
}
export function applyTheme() {
  const root = document.documentElement;
  if (theme() === "auto") delete root.dataset.theme;
  else root.dataset.theme = theme();
}

export const person = () => read("person") ?? "";
export const keepPerson = (name) => write("person", name);
