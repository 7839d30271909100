// How the pages are looked at: each size and each theme once, and in the long runs
// (PADTRIM_LONG=1) each size in each theme.

const all = [1280, 1920].flatMap((width) =>
  ["light", "dark"].map((theme) => ({ width, height: width === 1280 ? 800 : 1080, theme })));

export const views = process.env.PADTRIM_LONG === "1" ? all : [all[0], all[3]];
