// Lines of a panel's drawing, in millimetres with y downwards. Pure.

// A closed outline with round corners; with a gap it is open at the bottom from gap.from to gap.to.
export function outlinePath(width, height, radius, gap) {
  const r = Math.min(radius, width / 4, height / 4);
  const arc = `a${r} ${r} 0 0 1 `;
  const around = [
    `H${r}`, `${arc}${-r} ${-r}`, `V${r}`, `${arc}${r} ${-r}`, `H${width - r}`, `${arc}${r} ${r}`,
    `V${height - r}`, `${arc}${-r} ${r}`,
  ].join("");
  if (!gap) return `M${width - r} ${height}${around}Z`;
  const from = Math.max(gap.from, r), to = Math.min(gap.to, width - r);
  return `M${from} ${height}${around}H${to}`;
}

// Where a line from a key may run straight down to the bottom edge without crossing another key.
export function leaderFor(key, keys, height) {
  const clear = (x) => keys.every((other) => other === key || other.y < key.y ||
    x < other.x - other.width / 2 - 0.5 || x > other.x + other.width / 2 + 0.5);
  const half = key.width / 2 + 1.5;
  const x = [0, half, -half, 2 * half, -2 * half].map((d) => key.x + d).find(clear) ?? key.x;
  const bend = key.y + key.height / 2;
  const points = x === key.x ? [[x, bend]] : [[key.x + Math.sign(x - key.x) * key.width / 2, key.y], [x, key.y]];
  points.push([x, height]);
  return { x, points };
}

// Room for a name above a key: as wide as its neighbours leave, as high as the key above leaves.
export function roomAbove(key, keys) {
  const top = key.y - key.height / 2;
  let width = key.width * 2, above = Math.max(4, top);
  for (const other of keys) {
    if (other === key) continue;
    const aside = Math.abs(other.x - key.x), under = other.y + other.height / 2;
    if (Math.abs(other.y - key.y) < (other.height + key.height) / 2) width = Math.min(width, aside);
    else if (under <= top && aside < (other.width + key.width) / 2) above = Math.min(above, top - under);
  }
  return { width, above };
}

// Hatching of a rectangle: slanted lines, clipped by their own ends.
export function hatching(width, height, pitch) {
  const lines = [];
  for (let c = pitch; c < width + height; c += pitch) {
    lines.push([Math.max(0, c - height), Math.min(c, height), Math.min(c, width), Math.max(0, c - width)]);
  }
  return lines;
}

// How many of ten ticks a margin fills; a margin below 0 is beyond its limit.
export const ticksOf = (margin) => Math.max(0, Math.floor(Math.min(margin ?? 0, 1) * 10 + 1e-9));

const leastWords = 210; // px of a column that words beside a drawing need

// Columns and width for `count` drawings of `aspect` (width / height) in a room, so that they are as
// large as can be; fewer rows where that costs little. `extra.below` is what each needs above and
// below its drawing; where its column is wide, the words stand beside it, and `extra.beside` is what
// it needs then. Rows are full but for the last one's end.
export function arrange(count, aspect, room, extra) {
  let best = { columns: 1, width: 0, beside: false };
  for (let rows = count; rows >= 1; --rows) {
    const columns = Math.ceil(count / rows);
    if (Math.ceil(count / columns) < rows) continue;
    const column = room.width / columns - 32, high = room.height / rows;
    const below = Math.min(column, (high - extra.below) * aspect);
    const aside = Math.min(column - leastWords, (high - extra.beside) * aspect);
    const width = Math.max(below, aside);
    if (width > best.width * 0.95) best = { columns, width, beside: aside > below };
  }
  return best;
}
