// Finger and mouse on the drawing: drag what lies there, drag the cloth when one looks closer, tap to choose or to draw a line.

import { snapped } from "./geometry.js";
import { gripOf } from "./grips.js";

const DRAG_PX = 5;
const HELD = "[data-part], [data-line], [data-bend], [data-newbend], [data-join], [data-cover], [data-finding]";

export class Pointer {
  constructor(svg, store, sewing, camera) {
    Object.assign(this, { svg, store, sewing, camera, held: null });
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.move(event));
    svg.addEventListener("pointerup", (event) => this.up(event));
    svg.addEventListener("pointercancel", () => this.cancel());
    // A finger on a thing drags it; a finger on the cloth scrolls the page. (touch-action does not hold inside an SVG.)
    svg.addEventListener("touchstart", (event) => {
      if (event.touches.length === 1 && this.grips(this.beneath(event.target.closest(HELD), event.touches[0]))) event.preventDefault();
    }, { passive: false });
  }

  down(event) {
    if (!event.isPrimary || event.button > 0) return this.cancel();
    const target = event.target.closest(HELD), at = this.camera.at(event);
    const start = [event.clientX, event.clientY], thing = this.beneath(target, event);
    this.held = { id: event.pointerId, start, last: start, target, thing, at, moved: false };
    if (this.grips(thing)) this.held.grip = gripOf(thing.dataset, at, this.desk());
    if (this.held.grip || this.camera.zoom > 1) this.svg.setPointerCapture(event.pointerId);
  }

  /** What a drag takes hold of: beneath a mark, the part that it hides. */
  beneath(target, { clientX, clientY }) {
    if (!target || !target.dataset.finding) return target;
    const things = document.elementsFromPoint(clientX, clientY).map((one) => one.closest(HELD));
    return things.find((one) => one && !one.dataset.finding) || target;
  }

  desk() {
    const { layout, view } = this.store;
    return { layout, stage: this.camera.stage, side: view.side, snap: ([x, y]) => [snapped(x, view.grid), snapped(y, view.grid)] };
  }

  /** Whether a drag moves this: a line itself, or a mark, is only chosen. */
  grips(target) {
    return Boolean(target) && !target.dataset.line && !target.dataset.finding && this.store.view.tool === "move" && !this.store.view.fixed;
  }

  move(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    if (!held.moved && Math.hypot(event.clientX - held.start[0], event.clientY - held.start[1]) < DRAG_PX) return;
    held.moved = true;
    if (held.grip) held.layout = held.grip(this.camera.at(event));
    else if (this.camera.zoom > 1) this.camera.pan(event.clientX - held.last[0], event.clientY - held.last[1]);
    else return;
    held.last = [event.clientX, event.clientY];
    held.frame ||= requestAnimationFrame(() => { held.frame = 0; if (this.held === held) held.grip ? this.store.drag(held.layout) : this.store.show({}); });
  }

  up(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    this.held = null;
    if (held.moved && held.layout) {
      this.store.view.chosen = chosenOf(held.thing.dataset) || this.store.view.chosen;
      this.store.change(held.layout);
    } else if (!held.moved) {
      const piece = this.camera.stage.pieceAt(held.at);
      const at = this.camera.stage.from(piece, held.at, this.store.view.side);
      this.sewing.tap({ piece, at, data: held.target && held.target.dataset, unit: this.camera.unit });
    }
  }

  cancel() {
    const { held } = this;
    this.held = null;
    if (held && held.layout) { this.store.preview = null; this.store.show({}); }
  }
}

/** What a touched thing is, as the page's choice. */
export function chosenOf(data) {
  if (!data) return null;
  if (data.bend) return { kind: "line", name: data.of, bend: +data.bend };
  if (data.newbend) return { kind: "line", name: data.of, bend: +data.newbend };
  if (data.part) return { kind: "part", name: data.part };
  if (data.line) return { kind: "line", name: data.line };
  if (data.join) return { kind: "join", name: data.join };
  return data.cover ? { kind: "cover", name: +data.cover } : null;
}
