// The station's state as it changes. A page in the foreground holds one stream; one in the
// background holds none, so that many pages of one browser do not use up its connections.

import { admitted } from "/session.js";

const lostAfter = 1700; // ms; the station beats every 600 ms
const again = 500;

export function watch(onState, onLine) {
  let source = null, heard = 0, live = null, retry = 0, version = null;

  function line(now) {
    if (live === now) return;
    live = now;
    onLine(now);
  }
  function hear() {
    heard = performance.now();
    line(true);
  }
  function close() {
    if (source) source.close();
    source = null;
    clearTimeout(retry);
  }
  function open() {
    close();
    if (document.hidden) return;
    source = new EventSource("/api/live");
    source.onmessage = (event) => {
      const state = JSON.parse(event.data);
      if (version && version !== state.pages) return location.reload();
      version = state.pages;
      hear();
      onState(state);
    };
    source.addEventListener("beat", hear);
    // A station that asks for logins refuses the stream: that is no lost line.
    source.onerror = async () => {
      close();
      line(false);
      const waits = await admitted().catch(() => true);
      if (waits) retry = setTimeout(open, again);
    };
  }
  setInterval(() => {
    if (source && performance.now() - heard > lostAfter) {
      line(false);
      heard = performance.now();
      open();
    }
  }, 100);
  document.addEventListener("visibilitychange", open);
  heard = performance.now();
  admitted().catch(() => true).then((goesOn) => { if (goesOn) open(); });
}
