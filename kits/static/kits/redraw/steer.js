// A line drawn by keys alone: Enter at a hole starts or ends it, arrows steer the next bend, Space lays it down.

import { tidy } from "../layout/geometry.js";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export class Steer {
  constructor(circuit, store, sewing, say) { Object.assign(this, { circuit, store, sewing, say }); }

  /** Says whether a key was meant for the line. */
  key(event) {
    const { pending } = this.store.view, { end } = event.target.dataset;
    if (event.key === "Enter" && end && (!pending || end !== pending.from)) return this.done(() => this.sewing.end(end));
    if (!pending) return event.key === " " && end ? this.done(() => this.sewing.end(end)) : false;
    if (event.key === "Enter" || event.key === " ") return this.done(() => this.lay());
    if (event.key === "Escape") return this.done(() => this.sewing.drop());
    if (event.key === "Backspace") return this.done(() => this.back());
    return ARROWS[event.key] ? this.done(() => this.go(ARROWS[event.key], event.shiftKey ? 10 : 1)) : false;
  }

  done(act) { act(); return true; }

  /** Moves the bend that is steered; the first step away from the last point begins one. */
  go([dx, dy], step) {
    const { pending, side } = this.store.view, { via } = pending;
    const last = via.length ? via[via.length - 1] : this.sewing.found[pending.from].at;
    const at = [tidy(last[0] + (side === "inside" ? -dx : dx) * step), tidy(last[1] + dy * step)];
    const before = pending.steered ? via.slice(0, -1) : via;
    this.store.show({ pending: { ...pending, steered: true, via: [...before, at] } }, this.say("steered", { x: at[0], y: at[1] }));
  }

  back() {
    this.store.view.pending = { ...this.store.view.pending, steered: false };
    this.sewing.backOne();
  }

  /** The bend stays where it is: the next arrow begins another. */
  lay() {
    const { pending } = this.store.view;
    if (pending.steered) this.store.show({ pending: { ...pending, steered: false } }, this.say("bend_added"));
  }
}
