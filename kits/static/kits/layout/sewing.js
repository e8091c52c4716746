// What a tap means: choose a thing, go on with a line, lay a cover. The keyboard comes here too.

import * as edit from "./edits.js";
import { snapped, tidy } from "./geometry.js";
import { endNear, ends, lineNear } from "./plan.js";
import { chosenOf } from "./pointer.js";

const REACH_PX = 22; // half of the smallest target that a finger hits

export class Sewing {
  constructor(circuit, store, say) { Object.assign(this, { circuit, store, say }); }

  get found() { return ends(this.circuit, this.store.layout); }

  /** A tap at a point of a piece, on a thing with its data-…, or on the cloth alone. */
  tap({ piece, at, data, unit }) {
    const { view } = this.store;
    if (view.tool === "line" && !view.fixed) return this.sewTo(piece, at, Math.max(3, REACH_PX * unit));
    view.piece = piece;
    if (view.tool === "cover" && !view.fixed && !(data && data.cover)) return this.cover(this.snap(at));
    if (data && data.finding) return this.onFinding(data.finding);
    const chosen = chosenOf(data);
    this.store.show({ chosen }, chosen ? this.say("chosen", { name: chosen.kind === "cover" ? this.say("cover") : chosen.name }) : "");
  }

  snap([x, y]) { return [snapped(x, this.store.view.grid), snapped(y, this.store.view.grid)]; }

  /** A tap while a line is drawn: an end near it, else a bend. */
  sewTo(piece, at, reach) {
    const { pending } = this.store.view;
    if (pending && pending.piece !== piece) return this.store.show({}, this.say("stay_on_piece", { piece: pending.piece }));
    const end = endNear(this.found, piece, at, reach);
    if (end) return this.end(end);
    if (!pending) return this.store.show({}, this.say("start_at_hole"));
    this.store.show({ pending: { ...pending, via: [...pending.via, this.snap(at)] } }, this.say("bend_added"));
  }

  /** An end: the line starts there, or ends there. */
  end(end) {
    const { pending } = this.store.view, { piece } = this.found[end];
    if (pending && pending.piece !== piece) return this.store.show({}, this.say("stay_on_piece", { piece: pending.piece }));
    if (!pending) {
      this.store.show({ piece, pending: { piece, from: end, via: [] }, chosen: null }, this.say("line_from", { end: this.circuit.spoken(end) }));
    } else if (pending.from === end && !pending.via.length) {
      this.store.show({ pending: null }, this.say("line_dropped"));
    } else {
      this.store.view.pending = null;
      const layout = edit.addLine(this.store.layout, { ...pending, to: end });
      this.store.view.chosen = { kind: "line", name: layout.lines[layout.lines.length - 1].name };
      this.store.change(layout, this.say("line_to", { end: this.circuit.spoken(end) }));
    }
  }

  /** The last bend becomes a meeting point, on the line beneath it if there is one; the line ends there. */
  meet() {
    const { pending } = this.store.view;
    if (!pending || !pending.via.length) return this.store.show({}, this.say("meet_needs_bend"));
    const { piece } = pending;
    const at = pending.via[pending.via.length - 1];
    const near = lineNear(this.store.layout, this.found, piece, at, 3);
    const on = near ? near.at.map(tidy) : at;
    const joined = near
      ? edit.splitLine(this.store.layout, near.line, near.segment, on)
      : edit.addJoin(this.store.layout, piece, on);
    const layout = edit.addLine(joined.layout, { piece, from: pending.from, to: `@${joined.name}`, via: pending.via.slice(0, -1) });
    this.store.view.pending = null;
    this.store.change(layout, this.say("met", { name: joined.name }));
  }

  backOne() {
    const { pending } = this.store.view;
    if (!pending) return;
    const via = pending.via.slice(0, -1);
    this.store.show({ pending: pending.via.length ? { ...pending, via } : null }, this.say("point_taken_back"));
  }

  drop() {
    if (this.store.view.pending) this.store.show({ pending: null }, this.say("line_dropped"));
  }

  cover(at) {
    const layout = edit.addCover(this.store.layout, this.store.view.piece, at);
    this.store.view.chosen = { kind: "cover", name: layout.covers.length - 1 };
    this.store.change(layout, this.say("cover_added"));
  }
}
