// The marks of a lot's tape, a unit each: the line types of the drawings in miniature. The operator's
// page, the quality sheets and the report draw the same paths. One global, `padtrimMarks`:
// pathOf(mark, x, y, tall), pitchFor(count, width) and placesOf(count, pitch), in pixels. Pure.
(function (global) {
  "use strict";

  const group = 6; // between tens

  function pathOf(mark, x, y, tall) {
    const middle = y + tall / 2;
    switch (mark) {
      case "fail": return `M${x - 4} ${y + 5}l8 ${tall - 10}m0 ${10 - tall}l-8 ${tall - 10}`;
      case "running": return `M${x - 3} ${y}h6M${x} ${y}v${tall}`;
      case "quarantined": return `M${x - 3} ${y}h6v${tall}h-6zM${x - 3} ${y + 9}l6 -6m-6 12l6 -6m-6 12l6 -6`;
      case "removed": return `M${x - 3} ${middle}a3 3 0 1 0 6 0a3 3 0 1 0 -6 0`;
      case "paused": return `M${x - 2} ${y}v${tall}m4 0v${-tall}`;
      default: return `M${x} ${y}V${y + tall}`;
    }
  }

  const pitchFor = (count, width) => [18, 13, 9].find((pitch) => count * pitch + (count / 10) * group < width) ?? 9;
  const placesOf = (count, pitch) => Array.from({ length: count }, (_, i) => 8 + i * pitch + Math.floor(i / 10) * group);

  global.padtrimMarks = { group, pathOf, pitchFor, placesOf };
})(globalThis);
