// What this device keeps of a plan: work that is not on the server yet, and what the server took last.

const PREFIX = "tieoff-layout-";

/** One tab's shelf for one kit. Two tabs have one each, so that neither clears away what the other keeps. */
export class Kept {
  constructor(kit) {
    this.kit = kit;
    this.works = true;
    this.key = `${PREFIX}${kit}.${tabName()}`;
    this.savedKey = `tieoff-saved-${kit}`;
  }

  #read(key) {
    try {
      const kept = JSON.parse(localStorage.getItem(key));
      return kept && kept.layout && Number.isInteger(kept.version) ? kept : null;
    } catch { return null; }
  }

  #write(key, value) {
    try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; }
  }

  /** Work of an earlier visit: this tab's own, else the newest of any. {version, layout} or null. */
  left() {
    const own = this.#read(this.key);
    if (own) return own;
    const others = this.#keys().map((key) => [key, this.#read(key)]).filter(([, kept]) => kept).sort(([, a], [, b]) => b.at - a.at);
    if (!others.length) return null;
    const [key, newest] = others[0];
    if (this.#write(this.key, newest)) localStorage.removeItem(key);
    return newest;
  }

  #keys() {
    try { return Object.keys(localStorage).filter((key) => key.startsWith(`${PREFIX}${this.kit}.`)); } catch { return []; }
  }

  keep(version, layout) { this.works = this.#write(this.key, { version, layout, at: Date.now() }); }

  forget() {
    try { localStorage.removeItem(this.key); } catch { /* a browser that keeps nothing has nothing to forget */ }
  }

  /** What the server took last, and when by its clock: a page that this device kept from before knows less. */
  took(version, layout, made) { this.#write(this.savedKey, { version, layout, made }); }

  tookSince(made) {
    const kept = this.#read(this.savedKey);
    return kept && kept.made > made ? kept : null;
  }
}

function tabName() {
  try {
    const name = sessionStorage.getItem("tieoff-tab") || Math.random().toString(36).slice(2);
    sessionStorage.setItem("tieoff-tab", name);
    return name;
  } catch { return "tab"; }
}

/** Whether two layouts say the same, in whatever order their keys stand and whatever is left out as empty. */
export const sameLayout = (a, b) => ordered(a) === ordered(b);

const ordered = (layout) => JSON.stringify(layout, (key, value) =>
  (value && typeof value === "object" && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).filter(([, one]) => one !== null && one !== undefined).sort(([p], [q]) => (p < q ? -1 : 1)))
    : value));
