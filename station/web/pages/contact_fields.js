// Where the contacts of a nest are drawn: at the place of the key that they lie under, on a drawing
// of the panel that is just large enough for them. Pure.

const head = 26, channelHead = 20; // px of a key's name, and of a channel's where there are several

// Channels of keys that have steps here, and those of no key.
export function placesOf(panel, steps) {
  const channels = [...new Set(steps.map((step) => step.channel))].sort((a, b) => a - b);
  const keys = panel.keys.map((key) => ({ key, channels: (key.channels ?? []).filter((one) => channels.includes(one)) })).filter((one) => one.channels.length);
  const told = new Set(keys.flatMap((one) => one.channels));
  return { keys, others: channels.filter((one) => !told.has(one)) };
}

// A long key has its channels side by side, any other in a square.
const columnsOf = ({ key, channels }) => (key.width_mm > 2 * key.height_mm ? channels.length : Math.ceil(Math.sqrt(channels.length)));

function sizeOf(place, rows, one) {
  const columns = columnsOf(place), groups = Math.ceil(place.channels.length / columns);
  return { columns, width: columns * one.width, height: head + groups * (rows * one.height + (place.channels.length > 1 ? channelHead : 0)) };
}

// px/mm at which no field covers another.
function scaleFor(fields) {
  let scale = 0;
  fields.forEach((a, i) => fields.slice(i + 1).forEach((b) => {
    const across = (a.width + b.width) / 2 + 2, along = (a.height + b.height) / 2 + 2;
    const dx = Math.abs(a.key.x_mm - b.key.x_mm), dy = Math.abs(a.key.y_mm - b.key.y_mm);
    scale = Math.max(scale, Math.min(dx ? across / dx : Infinity, dy ? along / dy : Infinity));
  }));
  return scale;
}

// The fields, the panel's outline and the whole drawing, in px from its upper left corner.
export function fieldsOf(panel, places, rows, one, room) {
  const sized = places.map((place) => ({ ...place, ...sizeOf(place, rows, one) }));
  const scale = Math.max(scaleFor(sized), Math.min(4, room / panel.width_mm));
  const fields = sized.map((field) => ({ ...field, left: field.key.x_mm * scale - field.width / 2, top: (panel.height_mm - field.key.y_mm) * scale - field.height / 2 }));
  const left = Math.min(0, ...fields.map((field) => field.left - 8)), top = Math.min(0, ...fields.map((field) => field.top - 8));
  const right = Math.max(panel.width_mm * scale, ...fields.map((field) => field.left + field.width + 8)), bottom = Math.max(panel.height_mm * scale, ...fields.map((field) => field.top + field.height + 8));
  for (const field of fields) { field.left -= left; field.top -= top; }
  return { fields, outline: { left: -left, top: -top, width: panel.width_mm * scale, height: panel.height_mm * scale }, width: right - left, height: bottom - top };
}
