// Elements with attributes, listeners and children, in HTML and in SVG.

const svgNames = "http://www.w3.org/2000/svg";

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}

export const h = (tag, attributes, ...children) =>
  fill(document.createElement(tag), attributes, children);
export const s = (tag, attributes, ...children) =>
  fill(document.createElementNS(svgNames, tag), attributes, children);

// Puts an element at its place; the pages' security policy takes no style attributes.
export function styled(element, styles) {
  for (const [name, value] of Object.entries(styles)) element.style.setProperty(name, typeof value === "number" ? `${value.toFixed(1)}px` : value);
  return element;
}

// The key of the n-th act of a list, from 1, for the first nine. With Alt, since a bare character as a
// shortcut would be set off by dictation and by slips (WCAG 2.2, 2.1.4).
export const numberKey = (n) => (n <= 9 ? `Alt+${n}` : null);
export const keyCap = (name) => (name ? h("kbd", { "aria-hidden": "true" }, name.replace("+", " ")) : null);
// Of a key that was pressed: numberKey() of it, or "".
export function numberPressed(event) {
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code)?.[1];
  return digit && event.altKey && !event.ctrlKey && !event.metaKey && !event.repeat ? numberKey(Number(digit)) : "";
}

export const kindOf = (word) => word.replace(/ /g, "-");
