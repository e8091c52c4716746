// Saves by itself. What is not on the server yet is kept on this device; nothing is overwritten in silence.

const WAIT_MS = 700;
const RETRY_MS = [2000, 4000, 8000, 15000];

export class Saving {
  /** `tell(state, detail)` shows how it stands; `arrived(answer)` takes findings; `conflict(theirs)` asks. */
  constructor({ url, token, kit, version, store, tell, arrived, conflict }) {
    Object.assign(this, { url, token, version, store, tell, arrived, conflict });
    this.key = `tieoff-layout-${kit}`;
    this.dirty = false;
    this.busy = false;
    this.tries = 0;
    store.addEventListener("change", () => this.touched());
    addEventListener("online", () => this.dirty && this.now());
    addEventListener("beforeunload", (event) => { if (this.dirty && !this.kept) event.preventDefault(); });
  }

  /** What this device kept of an earlier visit: {version, layout}, or null. */
  left() {
    try {
      const kept = JSON.parse(localStorage.getItem(this.key));
      return kept && kept.layout && Number.isInteger(kept.version) ? kept : null;
    } catch { return null; }
  }

  keep() {
    try {
      localStorage.setItem(this.key, JSON.stringify({ version: this.version, layout: this.store.layout }));
      this.kept = true;
    } catch { this.kept = false; }
  }

  forget() {
    try { localStorage.removeItem(this.key); } catch { /* a browser that keeps nothing has nothing to forget */ }
  }

  touched() {
    this.dirty = true;
    this.keep();
    if (this.asking) return;
    this.tell(this.tries ? this.offline() : "waiting");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), WAIT_MS);
  }

  offline() { return this.kept ? "kept" : "unkept"; }

  /** Saves what there is; resolves to whether all of it is on the server. */
  async now() {
    clearTimeout(this.timer);
    if (this.busy) return this.busy.then(() => this.now());
    if (!this.dirty) return true;
    if (this.asking) return false;
    this.busy = this.send();
    const saved = await this.busy;
    this.busy = false;
    return saved && this.dirty ? this.now() : saved;
  }

  async send() {
    const sent = this.store.layout;
    if (!this.tries) this.tell("saving");
    let response, answer;
    try {
      response = await fetch(this.url, {
        method: "POST",
        credentials: "same-origin",
        headers: { "Content-Type": "application/json", "X-CSRFToken": this.token, Accept: "application/json" },
        body: JSON.stringify({ version: this.version, layout: sent }),
      });
      answer = (response.headers.get("Content-Type") || "").includes("json") ? await response.json() : null;
    } catch { return this.later(); }
    if (response.ok && answer) return this.saved(sent, answer);
    if (response.status === 409 && answer) return this.stale(answer);
    if (response.status >= 500) return this.later();
    // Nothing is tried again by itself: the server has understood, and said no.
    this.tell("refused", (answer && answer.error) || "");
    return false;
  }

  saved(sent, answer) {
    this.version = answer.version;
    this.tries = 0;
    this.dirty = this.store.layout !== sent;
    if (this.dirty) this.keep();
    else this.forget();
    this.tell(this.dirty ? "waiting" : "saved");
    this.arrived(answer);
    return true;
  }

  later() {
    this.tell(this.offline());
    const wait = RETRY_MS[Math.min(this.tries++, RETRY_MS.length - 1)];
    this.timer = setTimeout(() => this.now(), wait);
    return false;
  }

  stale(theirs) {
    this.asking = true;
    this.tell("asking");
    this.conflict(theirs);
    return false;
  }

  /** The answer to the question: this version is known now; `mine` is saved over it, theirs needs no saving. */
  settle(version, mine) {
    this.asking = false;
    this.version = version;
    this.dirty = mine;
    if (mine) {
      this.keep();
      this.now();
    } else {
      this.forget();
      this.tell("saved");
    }
  }
}
