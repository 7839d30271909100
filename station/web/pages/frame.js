// Which part of the finger's travel a view shows, and how large: the panel of one nest with some
// paper around it, and the finger with room for its dimension lines. Pure.

const scales = [0.25, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 10]; // px/mm

// What one axis takes, in px: the panel and the finger, each with its paper before and after.
function taken({ from, to, finger, paper, arms }, scale) {
  const least = from * scale - paper[0], most = to * scale + paper[1];
  return finger === null ? [least, most] : [Math.min(least, finger * scale - arms[0]), Math.max(most, finger * scale + arms[1])];
}
const fits = (axis, scale, room) => {
  const [least, most] = taken(axis, scale);
  return most - least <= room;
};
// The panel stands in the middle, unless something wants it aside.
function shift(axis, scale, room) {
  const [least, most] = taken(axis, scale), middle = (room - (axis.from + axis.to) * scale) / 2;
  return Math.max(-least, Math.min(middle, room - most));
}

// `box`: { x, y, width, height } in mm; `finger`: { x, y } in mm or null; `paper` around the panel
// and `arms` around the finger: { x: [left, right], y: [above, below] } in px.
export function frameOf(box, finger, paper, arms, room) {
  const x = { from: box.x, to: box.x + box.width, finger: finger ? finger.x : null, paper: paper.x, arms: arms.x };
  const y = { from: -box.y - box.height, to: -box.y, finger: finger ? -finger.y : null, paper: paper.y, arms: arms.y };
  const scale = scales.findLast((one) => fits(x, one, room.width) && fits(y, one, room.height)) ?? scales[0];
  const right = shift(x, scale, room.width), down = shift(y, scale, room.height);
  return { scale, x: (mm) => right + mm * scale, y: (mm) => down - mm * scale };
}
