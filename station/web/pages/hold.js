// The lease of work by hand: this page keeps it alive while a person holds a key or acts, and by no
// timer of its own. A page that is closed or hidden gives it back; one that lost its line lets it
// run out.

import { tell } from "/calls.js";
import { proof } from "/session.js";

const every = 1000; // ms; the station waits for four times that

export class Lease {
  #word = null; #beat = 0; #lost;

  // `lost` is called when the station no longer knows the lease.
  constructor(lost) {
    this.#lost = lost;
    addEventListener("pagehide", () => this.#leave());
    addEventListener("blur", () => this.release());
    document.addEventListener("visibilitychange", () => { if (document.hidden) this.#leave(); });
  }
  get mine() { return this.#word !== null; }

  async take(operator) {
    const { lease } = await tell("/api/fixture/take", { operator, cautions_read: true });
    this.#word = lease;
  }
  act(path, body) { return tell(path, { lease: this.#word, ...body }); }

  // From the key's way down to its way up.
  press() {
    if (!this.mine || this.#beat) return;
    this.renew();
    this.#beat = setInterval(() => this.renew(), every);
  }
  release() {
    clearInterval(this.#beat);
    this.#beat = 0;
  }
  renew() {
    if (this.mine) this.act("/api/fixture/renew", {}).catch((trouble) => this.#lost(trouble));
  }
  async giveBack() {
    const word = this.#word;
    this.forget();
    if (word) await tell("/api/fixture/give-back", { lease: word });
  }
  forget() {
    this.release();
    this.#word = null;
  }
  #leave() {
    if (!this.mine) return;
    const headers = { "Content-Type": "application/json", "X-Padtrim-Proof": proof() };
    fetch("/api/fixture/give-back", { method: "POST", keepalive: true, headers, body: JSON.stringify({ lease: this.#word }) }).catch(() => {});
    this.forget();
  }
}
