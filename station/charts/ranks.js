// Ranked bars of a chart description (station/answers/chart.hpp, shape "ranked"): they lie, the
// longest on top, and what there is to say of each stands at its end; no second axis. One global,
// `padtrimRanks`: draw(element, chart, look), `look` with ink, paper, font, pt(size) and figures(text).
(function (global) {
  "use strict";

  const row = 30, thick = 14; // px

  function svg(name, attributes, words) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (words !== undefined) element.textContent = words;
    return element;
  }

  const shortened = (text, most) => (text.length > most ? text.slice(0, Math.max(1, most - 1)) + "…" : text);

  let drawn = 0;
  function hatching(look) {
    const id = "ranks-" + (drawn += 1);
    const pattern = svg("pattern", { id, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    pattern.append(svg("line", { x1: 0, y1: 0, x2: 0, y2: 6, stroke: look.ink, "stroke-width": 1.2 }));
    return { pattern, fill: "url(#" + id + ")" };
  }

  function draw(element, chart, look) {
    const dots = chart.series[0].dots, names = chart.x.names, width = element.clientWidth || 690;
    const size = look.pt(12), letter = size * 0.55, high = look.pt(row), top = look.pt(4);
    const longest = (texts) => Math.max(...texts.map((text) => text.length), 1) * letter;
    const left = Math.min(longest(names) + 10, width * 0.5), end = longest(dots.map((dot) => dot.note ?? "")) + 16;
    const unit = Math.max(10, width - left - end - 4) / Math.max(...dots.map((dot) => dot.y), 1);
    const height = dots.length * high + top + look.pt(6);
    element.style.height = height + "px";
    const root = svg("svg", { width, height, viewBox: "0 0 " + width + " " + height, role: "img", "aria-label": chart.title + ". " + chart.sentence, "font-family": look.font });
    const { pattern, fill } = hatching(look);
    const text = (x, y, words, more) => svg("text", Object.assign({ x, y, "font-size": size, fill: look.ink }, more), words);
    root.append(pattern, svg("line", { x1: left, x2: left, y1: 0, y2: height, stroke: look.ink, "stroke-width": 1 }));
    dots.forEach((dot, place) => {
      const middle = top + (place + 0.5) * high, long = dot.y * unit, name = names[dot.x];
      const one = svg("g", {});
      one.append(svg("title", {}, name + ": " + look.figures(dot.note ?? String(dot.y))),
        text(left - 8, middle + size * 0.36, shortened(name, Math.floor((left - 8) / letter)), { "text-anchor": "end" }),
        svg("rect", { x: left, y: middle - look.pt(thick) / 2, width: long, height: look.pt(thick), fill, stroke: look.ink, "stroke-width": 1.2 }),
        text(left + long + 8, middle + size * 0.36, look.figures(dot.note ?? String(dot.y)), { "font-weight": 600 }));
      root.append(one);
    });
    // Between places: what is above makes up the share that the line is named after.
    for (const limit of chart.limits.filter((one) => one.of_x)) {
      const y = top + (limit.value + 0.5) * high;
      root.append(svg("line", { x1: 0, x2: width, y1: y, y2: y, stroke: look.ink, "stroke-width": 0.9, "stroke-dasharray": "12 3 2 3" }),
        text(width - 4, y - 4, look.figures(limit.name), { "text-anchor": "end", "font-size": look.pt(10.5) }));
    }
    element.append(root);
  }

  global.padtrimRanks = { draw };
})(globalThis);
