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

export const kindOf = (word) => word.replace(/ /g, "-");
