// Draws padtrim's chart descriptions (station/answers/chart.hpp) as a drawing office would: ink on
// paper, line types that carry the meaning, colour that only adds. One global, `padtrimDrawing`,
// with drawChart(element, chart), drawPanel(element, figure, open) and drawTape(element, tape, open), and clear(element)
// before an element is drawn in again; needs the globals of the chart library, marks.js and ranks.js. `open` gives the address that a key or a unit leads to, or nothing. use(look) sets colours and the
// scale of type, for a page in the dark and one that is read from afar.
(function (global) {
  "use strict";

  let ink = "#16202b", faint = "#9aa0a6", live = "#0072B2", stop = "#D55E00", paper = "#fff", type = 1, figures = (text) => String(text).replace(/^-/, "\u2212"), words = (text) => text, dayFirst = false;
  function use(look) {
    ink = look.ink; faint = look.faint; live = look.live; stop = look.stop; paper = look.paper; type = look.type;
    if (look.figures) { figures = look.figures; words = look.words; dayFirst = look.dayFirst; }
  }
  const pt = (size) => size * type;
  const font = 'system-ui, "DejaVu Sans", sans-serif';
  const strokes = { continuous: "solid", dashed: [7, 4], dotted: [1.5, 3] };
  // Line types of technical drawings: chain for centres, dashes for what the process does,
  // continuous and heavy for what the recipe allows.
  const limitStroke = {
    specification: { type: "solid", width: 1.8 },
    control: { type: [7, 4], width: 1.1 },
    centre: { type: [12, 3, 2, 3], width: 0.9 },
  };

  const digits = (value) => figures(Number(value.toPrecision(5)).toString());
  const roughly = (value) => figures(Number(value.toPrecision(4)).toString());
  const titled = (axis) => axis.title + (axis.unit && axis.unit !== "1" ? ", " + axis.unit : "");
  const valueText = (axis) => (value) => (axis.share ? figures(String(Math.round(1000 * value) / 10)) : digits(value));
  // Names of a few places may be longer than these are wide.
  function slanted(axis, width) {
    if (axis.scale !== "order" || !axis.names.length || axis.names.length > 14) return false;
    return letter() * (longestName(axis) + 1.5) > (width - pt(180)) / (axis.names.length + 1);
  }
  const letter = () => pt(6.6); // its width, in the mean
  const longestName = (axis) => Math.max(...axis.names.map((name) => name.length));
  // What names take below their axis.
  const namesRoom = (axis, width) => (slanted(axis, width) ? pt(20) + 0.58 * letter() * Math.min(18, longestName(axis)) : pt(28));
  // a to z, then aa, as lists in pages count.
  function lettered(number) {
    let letters = "";
    for (let rest = number; rest > 0; rest = Math.floor((rest - 1) / 26)) letters = String.fromCharCode(97 + (rest - 1) % 26) + letters;
    return letters;
  }
  // Series of marks differ by shape and fill, so that they do in black and white.
  const marks = [{ symbol: "circle", filled: false, size: 8 }, { symbol: "diamond", filled: true, size: 10 }, { symbol: "triangle", filled: false, size: 9 }, { symbol: "rect", filled: true, size: 7 }, { symbol: "diamond", filled: false, size: 10 }, { symbol: "circle", filled: true, size: 7 }];
  const isMarked = (series) => series.shape === "points" || series.shape === "intervals";
  const markOfSeries = (chart, series) => marks[chart.series.filter(isMarked).indexOf(series) % marks.length];
  const markStyle = (mark, small) => ({ color: mark.filled ? ink : paper, borderColor: ink, borderWidth: small ? 0.8 : 1.4, opacity: 1 });

  function axisOption(axis, small, upright, width) {
    const option = {
      name: small ? "" : titled(axis),
      nameLocation: "middle",
      nameGap: upright ? pt(52) : namesRoom(axis, width),
      nameTextStyle: { color: ink, fontFamily: font, fontSize: pt(12) },
      axisLine: { show: true, onZero: false, lineStyle: { color: ink, width: 1 } },
      axisTick: { show: !small, inside: true, lineStyle: { color: ink } },
      axisLabel: { show: !small, color: ink, fontFamily: font, fontSize: pt(11), hideOverlap: true },
      splitLine: { show: !small && upright, lineStyle: { color: faint, width: 0.4 } },
    };
    if (axis.scale === "moment") {
      if (dayFirst) option.axisLabel.formatter = { year: "{yyyy}", month: "{dd}.{MM}.", day: "{dd}.{MM}.", hour: "{HH}:{mm}", minute: "{HH}:{mm}", second: "{HH}:{mm}:{ss}", millisecond: "{HH}:{mm}:{ss}", none: "{dd}.{MM}. {HH}:{mm}" };
      return Object.assign(option, { type: "time" });
    }
    Object.assign(option, { type: "value", scale: true });
    if (axis.low !== null) option.min = axis.low;
    if (axis.high !== null) option.max = axis.high;
    if (axis.scale === "order") {
      option.interval = Math.max(1, Math.ceil(axis.names.length / 14));
      option.axisLabel.formatter = (place) =>
        Number.isInteger(place) && axis.names[place] !== undefined ? axis.names[place] : "";
      if (slanted(axis, width)) Object.assign(option.axisLabel, { rotate: 35, hideOverlap: false, overflow: "truncate", width: pt(120), fontSize: pt(10) });
      // Marks stand on whole places.
      option.min = -1;
      option.max = axis.names.length;
    } else {
      option.axisLabel.formatter = valueText(axis);
    }
    return option;
  }

  // What the library would leave out when it scales: intervals, and limits that are not far away.
  function reach(chart) {
    const values = [];
    for (const series of chart.series) {
      for (const dot of series.dots) {
        for (const value of [dot.y, dot.low, dot.high]) {
          if (typeof value === "number") values.push(value);
        }
      }
    }
    const low = Math.min(...values), high = Math.max(...values), room = 3 * (high - low) || 1;
    for (const limit of chart.limits) {
      if (!limit.of_x && limit.value > low - room && limit.value < high + room) values.push(limit.value);
    }
    return values;
  }

  function yOption(chart, small) {
    const axis = chart.y, option = axisOption(axis, small, true);
    const values = reach(chart);
    if (!values.length) return option;
    for (const end of [axis.low, axis.high]) if (end !== null) values.push(end);
    const low = Math.min(...values), high = Math.max(...values);
    const room = (high - low) * 0.08 || Math.abs(high) * 0.05 || 1;
    const whole = chart.series.every((one) => one.shape === "bars" && one.dots.every((dot) => Number.isInteger(dot.y)));
    // About five steps of 1, 2 or 5, and ends that stand on one.
    const rough = (high - low + 2 * room) / 5, ten = Math.pow(10, Math.floor(Math.log10(rough)));
    const round = [1, 2, 5, 10].map((one) => one * ten).find((one) => one >= rough * 0.999);
    const step = whole ? Math.max(1, round) : round;
    option.interval = step;
    // What is never below 0 is not drawn as if it could be.
    const floor = low >= 0 ? Math.max(0, low - room) : low - room;
    if (axis.low === null) option.min = Math.floor(floor / step) * step;
    if (axis.high === null) option.max = Math.ceil((high + room * 0.5) / step) * step;
    return option;
  }

  function seriesOptions(chart, series, small) {
    const ordered = chart.x.scale === "order", kind = isMarked(series) ? markOfSeries(chart, series) : marks[0];
    const where = { animation: false, name: series.name, silent: small };
    const points = series.dots.map((dot) => [dot.x, dot.y]);
    const line = { color: series.stroke === "continuous" ? ink : live, type: strokes[series.stroke], width: small ? 0.9 : 1.2 };
    const mark = {
      type: "scatter", symbol: kind.symbol, symbolSize: small ? 0.35 * kind.size : kind.size, data: points, itemStyle: markStyle(kind, small),
    };
    switch (series.shape) {
      case "points":
        return [Object.assign({}, where, mark)];
      case "bars":
        return [Object.assign({}, where, {
          type: "bar", data: points, barCategoryGap: "0%", barWidth: series.dots.length < 2 ? 30 : undefined, barMaxWidth: ordered ? 60 : undefined,
          itemStyle: {
            color: paper, borderColor: ink, borderWidth: small ? 0.6 : 1,
            decal: small ? undefined : { symbol: "rect", color: ink, dashArrayX: [1, 0], dashArrayY: [0.8, 5], rotation: Math.PI / 4 },
          },
        })];
      case "intervals": {
        const lines = [];
        for (const dot of series.dots) {
          if (typeof dot.low === "number") lines.push([dot.x, dot.low], [dot.x, dot.high], [dot.x, null]);
        }
        return [
          Object.assign({}, where, { type: "line", data: lines, symbol: "rect", symbolSize: small ? [3, 0.6] : [8, 1], itemStyle: { color: ink }, lineStyle: line, connectNulls: false, silent: true }),
          Object.assign({}, where, mark),
        ];
      }
      default:
        return [Object.assign({}, where, {
          type: "line", data: points, lineStyle: line, itemStyle: { color: ink, borderColor: ink },
          step: series.shape === "steps" ? "middle" : false,
          symbol: "circle", symbolSize: 3, showSymbol: !small && series.shape === "line" && points.length <= 150,
        })];
    }
  }

  // Points that a rule struck out, lettered as in the list under the chart.
  function remarked(chart, small) {
    const data = [];
    let number = 0;
    for (const series of chart.series) {
      for (const dot of series.dots) {
        if (!dot.remark) continue;
        number += 1;
        data.push({ value: [dot.x, dot.y], number, remark: dot.remark });
      }
    }
    if (!data.length) return [];
    return [{
      type: "scatter", name: "remarks", data, animation: false, z: 5, silent: small,
      symbol: "path://M-10,-8L-8,-10L0,-2L8,-10L10,-8L2,0L10,8L8,10L0,2L-8,10L-10,8L-2,0Z",
      symbolSize: small ? 7 : 15, itemStyle: { color: stop },
      label: { show: !small && data.length <= 30, position: "top", color: ink, fontFamily: font, fontSize: pt(11), fontWeight: 600, formatter: (entry) => lettered(entry.data.number) },
    }];
  }

  function limitLines(chart, small) {
    const data = chart.limits.map((limit) => Object.assign(
      limit.of_x ? { xAxis: limit.value } : { yAxis: limit.value },
      {
        lineStyle: Object.assign({ color: ink }, limitStroke[limit.kind]),
        label: {
          show: !small, position: "end", color: ink, fontFamily: font, fontSize: pt(10.5),
          formatter: () => limit.name + " " + (limit.kind === "centre" && limit.of_x ? roughly : valueText(limit.of_x ? chart.x : chart.y))(limit.value),
        },
      }));
    if (!data.length) return [];
    return [{ type: "line", name: "limits", data: [], animation: false, silent: true,
      markLine: { symbol: "none", silent: true, animation: false, data } }];
  }

  // Each name once; marks as they are drawn.
  function legendOf(chart) {
    const entryOf = (series) => {
      if (!isMarked(series)) return { name: series.name };
      const mark = markOfSeries(chart, series);
      return { name: series.name, icon: mark.symbol, itemStyle: markStyle(mark, false) };
    };
    const first = chart.series.filter((one, i, all) => all.findIndex((other) => other.name === one.name) === i);
    const width = first.every(isMarked) ? 12 : 25;
    return { top: 0, left: pt(70), itemHeight: 11, itemWidth: width, textStyle: { fontFamily: font, fontSize: pt(11), color: ink }, data: first.map(entryOf) };
  }

  function optionsOf(chart, small, width) {
    const x = axisOption(chart.x, small, false, width);
    // Upright limits belong to the picture where they are near.
    if (chart.x.scale === "number") {
      const xs = [];
      for (const series of chart.series) for (const dot of series.dots) xs.push(dot.x);
      const low = Math.min(...xs), high = Math.max(...xs), room = 3 * (high - low) || 1;
      for (const limit of chart.limits) {
        if (limit.of_x && limit.value > low - room && limit.value < high + room) xs.push(limit.value);
      }
      if (xs.length) {
        const margin = 0.06 * (Math.max(...xs) - Math.min(...xs)) || 1;
        if (chart.x.low === null) x.min = Math.min(...xs) - margin;
        if (chart.x.high === null) x.max = Math.max(...xs) + margin;
        x.axisLabel.showMinLabel = x.axisLabel.showMaxLabel = false;
      }
    }
    const named = chart.series.length > 1 && !small;
    return {
      animation: false, useUTC: true, backgroundColor: "transparent", textStyle: { fontFamily: font, color: ink },
      aria: { enabled: true, decal: { show: false }, label: { description: chart.title + ". " + chart.sentence } },
      grid: small ? { left: 2, right: 2, top: 2, bottom: 2 } : { left: pt(76), right: pt(chart.limits.some((limit) => !limit.of_x) ? 104 : 18), top: pt(named ? 34 : 20), bottom: namesRoom(chart.x, width) + pt(chart.x.title ? 18 : 0) },
      legend: named ? legendOf(chart) : undefined,
      tooltip: small ? undefined : {
        trigger: "item", confine: true, renderMode: "richText",
        formatter: (entry) => {
          if (!Array.isArray(entry.value)) return "";
          const place = chart.x.scale === "order" ? chart.x.names[entry.value[0]]
            : chart.x.scale === "moment" ? new Date(entry.value[0]).toISOString().slice(0, 16) : digits(entry.value[0]);
          return place + ": " + valueText(chart.y)(entry.value[1]) + (entry.data && entry.data.remark ? "\n" + entry.data.remark : "");
        },
      },
      xAxis: x, yAxis: yOption(chart, small),
      series: chart.series.flatMap((one) => seriesOptions(chart, one, small)).concat(remarked(chart, small), limitLines(chart, small)),
    };
  }

  function drawChart(element, chart, small) {
    if (chart.series.some((one) => one.shape === "ranked")) return global.padtrimRanks.draw(element, chart, { ink, paper, font, pt, figures });
    const drawn = global.echarts.init(element, null, { renderer: "svg" });
    drawn.setOption(optionsOf(chart, Boolean(small), element.clientWidth || 690));
    return drawn;
  }

  // The library keeps what it drew until it is told: emptied by hand, an element would never be drawn in again.
  function clear(element) {
    for (const one of [element, ...element.querySelectorAll("[_echarts_instance_]")]) {
      const drawn = global.echarts.getInstanceByDom(one);
      if (drawn) drawn.dispose();
    }
    element.replaceChildren();
  }

  function svg(name, attributes, words) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (words !== undefined) element.textContent = words;
    return element;
  }

  // Hatching grows denser with the tone, so that it prints in black and white.
  let patterns = 0;
  function hatch(root, tone) {
    const id = "hatch-" + (patterns += 1), pitch = 15 - 12 * Math.min(1, Math.max(0, tone));
    const pattern = svg("pattern", { id, width: pitch, height: pitch, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    pattern.append(svg("line", { x1: 0, y1: 0, x2: 0, y2: pitch, stroke: ink, "stroke-width": 1.1, opacity: 0.55 }));
    root.append(pattern);
    return "url(#" + id + ")";
  }

  // Room that a place has until its neighbour in the same row or column.
  function room(figure, place) {
    let width = figure.width, height = figure.height;
    for (const other of figure.places) {
      if (other === place) continue;
      const dx = Math.abs(other.x - place.x), dy = Math.abs(other.y - place.y);
      if (dy < (other.height + place.height) / 2 && dx > 0) width = Math.min(width, dx);
      if (dx < (other.width + place.width) / 2 && dy > 0) height = Math.min(height, dy);
    }
    return { width, height };
  }

  // What leads somewhere does so by keyboard too.
  function leading(address, name) {
    if (!address) return svg("g", {});
    return svg("a", { href: address, "aria-label": name });
  }

  function drawPanel(element, figure, open) {
    const width = element.clientWidth || 690, margin = 6, address = open || (() => null);
    const scale = (width - 2 * margin) / figure.width;
    const height = figure.height * scale + 2 * margin;
    element.style.position = "relative";
    element.style.height = height + "px";
    const root = svg("svg", { width, height, viewBox: "0 0 " + width + " " + height, role: open ? "group" : "img", "aria-label": figure.title });
    root.append(svg("rect", { x: margin, y: margin, width: figure.width * scale, height: figure.height * scale, rx: 10, fill: "none", stroke: ink, "stroke-width": 2.4 }));
    element.append(root);
    for (const place of figure.places) {
      const x = margin + place.x * scale, y = margin + (figure.height - place.y) * scale;
      const w = place.width * scale, h = place.height * scale;
      const name = [place.key, place.value].filter(Boolean).join(": ");
      const group = place.chart === null ? leading(address(place), name) : svg("g", {});
      if (place.detail) group.append(svg("title", {}, place.detail));
      const look = { fill: "none", stroke: ink, "stroke-width": 1.4, "stroke-dasharray": { continuous: "", dashed: "7 4", dotted: "1.5 3" }[place.outline] };
      const shape = (more) => place.round ? svg("ellipse", Object.assign({ cx: x, cy: y, rx: w / 2, ry: h / 2 }, more))
        : svg("rect", Object.assign({ x: x - w / 2, y: y - h / 2, width: w, height: h, rx: Math.min(2.5 * scale, h / 4) }, more));
      if (place.chart === null) {
        if (place.tone > 0) group.append(shape({ fill: hatch(root, place.tone) }));
        group.append(shape(look));
        const size = Math.max(pt(9), Math.min(pt(13), w / 4));
        group.append(svg("text", { x, y: y + size * 0.36, "font-size": size, "font-weight": 600, "text-anchor": "middle", fill: ink, stroke: paper, "stroke-width": 3, "paint-order": "stroke" }, place.value));
        group.append(svg("text", { x, y: y - h / 2 - 5, "font-size": pt(11), "text-anchor": "middle", fill: ink }, place.key));
        root.append(group);
        continue;
      }
      const free = room(figure, place);
      // The panel's edges leave room for name and word above and below.
      const inside = 2 * Math.min(y - margin - pt(20), margin + figure.height * scale - y - pt(22));
      const wide = Math.max(w, 0.92 * Math.min(free.width * scale, 240 * type)), tall = Math.max(h, Math.min(0.94 * free.height * scale - pt(34), inside, 190 * type));
      root.append(group);
      group.append(svg("rect", { x: x - wide / 2, y: y - tall / 2, width: wide, height: tall, fill: "none", stroke: place.outline === "continuous" ? faint : ink, "stroke-width": 0.8, "stroke-dasharray": look["stroke-dasharray"] }));
      group.append(svg("text", { x: x - wide / 2, y: y - tall / 2 - 4, "font-size": pt(11), fill: ink }, place.key));
      group.append(svg("text", { x: x + wide / 2, y: y + tall / 2 + pt(13), "font-size": pt(11), "font-weight": 600, "text-anchor": "end", fill: ink }, place.value));
      const hole = document.createElement(address(place) ? "a" : "div");
      // The library names its element itself; a link keeps its own name.
      const inner = address(place) ? document.createElement("div") : hole;
      if (inner !== hole) {
        Object.assign(hole, { href: address(place), ariaLabel: name });
        Object.assign(inner.style, { width: wide + "px", height: tall + "px" });
        hole.append(inner);
      }
      Object.assign(hole.style, { position: "absolute", left: x - wide / 2 + "px", top: y - tall / 2 + "px", width: wide + "px", height: tall + "px" });
      element.append(hole);
      drawChart(inner, figure.charts[place.chart], true);
    }
  }

  // One unit of a tape, as on the operator's page: its strokes are those of operator.css.
  function markOf(mark, x, y, tall) {
    const look = { pass: { stroke: live, "stroke-width": 4 }, fail: { stroke: stop, "stroke-width": 3 }, running: { stroke: live }, inconclusive: { "stroke-dasharray": "6 4", "stroke-width": 3 }, "no verdict": { "stroke-dasharray": "0 6", "stroke-linecap": "round", "stroke-width": 4 } }[mark];
    return svg("path", Object.assign({ d: global.padtrimMarks.pathOf(mark, x, y, tall), fill: "none", stroke: ink, "stroke-width": 2 }, look));
  }

  function drawTape(element, tape, open) {
    const { group, pitchFor, placesOf } = global.padtrimMarks;
    const width = element.clientWidth || 690, address = open || (() => null), tall = 26, line = 36;
    const pitch = pitchFor(tape.units.length, width), a_line = 10 * Math.max(1, Math.floor((width + group) / (10 * pitch + group)));
    const places = placesOf(a_line, pitch), rows = Math.ceil(tape.units.length / a_line), height = rows * line + 34;
    const root = svg("svg", { width, height, viewBox: "0 0 " + width + " " + height, role: open ? "group" : "img", "aria-label": tape.title });
    tape.units.forEach((unit, place) => {
      const drawn = svg("g", {});
      drawn.append(svg("title", {}, unit.serial + ": " + words(unit.mark)), markOf(unit.mark, places[place % a_line], 4 + Math.floor(place / a_line) * line, tall));
      // The table beside it leads there by keyboard: a lot would be hundreds of stops.
      const link = unit.serial && address(unit) ? svg("a", { href: address(unit), tabindex: "-1", "aria-hidden": "true" }) : root;
      if (link !== root) root.append(link);
      link.append(drawn);
    });
    // What the marks mean; the books above say how many there are.
    let x = 8;
    for (const kind of new Set(tape.units.map((unit) => unit.mark))) {
      root.append(markOf(kind, x, rows * line + 4, tall), svg("text", { x: x + 12, y: rows * line + 22, "font-size": pt(12), fill: ink }, words(kind)));
      x += 34 + pt(7.5) * words(kind).length;
    }
    element.append(root);
  }

  global.padtrimDrawing = { drawChart, drawPanel, drawTape, clear, optionsOf, use };
})(globalThis);
