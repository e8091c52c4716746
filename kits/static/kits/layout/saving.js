// Saves by itself. What is not on the server yet is kept on this device; nothing is overwritten in silence.

import { sameLayout } from "./kept.js";

const BURST_MS = 250; // a finger lifted is one change, and saved at once; keys held down are many, and wait for a pause
const WAIT_MS = 120;
const RETRY_MS = [2000, 4000, 8000, 15000];

export class Saving {
  /** `tell(state, detail)` shows how it stands; `arrived(answer)` takes findings; `conflict(theirs)` asks. */
  constructor({ url, token, kept, version, store, tell, arrived, conflict }) {
    Object.assign(this, { url, token, kept, version, store, tell, arrived, conflict });
    this.dirty = false;
    this.busy = null;
    this.tries = 0;
    store.addEventListener("change", () => this.touched());
    addEventListener("online", () => this.dirty && this.now());
    addEventListener("beforeunload", (event) => { if (this.dirty && !this.kept.works) event.preventDefault(); });
  }

  touched() {
    this.dirty = true;
    this.kept.keep(this.version, this.store.layout);
    if (this.asking) return;
    this.tell(this.tries ? this.offline() : "waiting");
    clearTimeout(this.timer);
    const pause = performance.now() - (this.last ?? -Infinity);
    this.last = performance.now();
    this.timer = setTimeout(() => this.now(), pause < BURST_MS ? WAIT_MS : 0);
  }

  offline() { return this.kept.works ? "kept" : "unkept"; }

  /** Saves what there is; resolves to whether all of it is on the server. */
  async now() {
    clearTimeout(this.timer);
    if (this.busy) return this.busy.then(() => this.now());
    if (!this.dirty) return true;
    if (this.asking) return false;
    this.busy = this.send();
    const saved = await this.busy;
    this.busy = null;
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
    if (this.dirty) this.kept.keep(this.version, this.store.layout);
    else this.kept.forget();
    this.kept.took(answer.version, sent, answer.made);
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

  /** Saved elsewhere since. An answer that got lost on the way may have been to this very plan: then all is well. */
  stale(theirs) {
    this.tries = 0;
    if (sameLayout(theirs.layout, this.store.layout)) {
      this.version = theirs.version;
      this.dirty = true; // saved once more, so that the findings come with it
      return true;
    }
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
      this.kept.keep(version, this.store.layout);
      this.now();
    } else {
      this.kept.forget();
      this.tell("saved");
    }
  }
}
