// Finger and mouse on the drawing: drag what lies there, tap to choose, tap to draw a line.

import * as edit from "./edits.js";
import { snapped } from "./geometry.js";

const DRAG_PX = 5;
const HELD = "[data-part], [data-line], [data-bend], [data-newbend], [data-join], [data-cover]";

export class Pointer {
  constructor(svg, store, sewing, units) {
    Object.assign(this, { svg, store, sewing, units, held: null });
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.move(event));
    svg.addEventListener("pointerup", (event) => this.up(event));
    svg.addEventListener("pointercancel", () => this.cancel());
    // A finger on a thing drags it; a finger on the cloth scrolls the page. (touch-action does not hold inside an SVG.)
    svg.addEventListener("touchstart", (event) => {
      if (event.touches.length === 1 && this.grips(event.target.closest(HELD))) event.preventDefault();
    }, { passive: false });
  }

  /** Where on the fabric an event is, mm. */
  fabric(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    const { box, side } = this.store.view;
    return [side === "outside" ? point.x : 2 * box.left + box.width - point.x, point.y];
  }

  grid([x, y]) {
    const { grid } = this.store.view;
    return [snapped(x, grid), snapped(y, grid)];
  }

  down(event) {
    if (!event.isPrimary || event.button > 0) return this.cancel();
    const target = event.target.closest(HELD);
    this.held = { id: event.pointerId, from: this.fabric(event), start: [event.clientX, event.clientY], target, moved: false };
    this.held.grip = this.grips(target) ? this.gripOf(target.dataset) : null;
    if (this.held.grip) this.svg.setPointerCapture(event.pointerId);
  }

  /** Whether a drag moves this: a line itself is only chosen. */
  grips(target) {
    return Boolean(target) && !target.dataset.line && this.store.view.tool === "move" && !this.store.view.fixed;
  }

  /** How the thing that is held follows the finger: (how far x, how far y) → layout. */
  gripOf(data) {
    const { layout } = this.store;
    if (data.part) {
      const place = layout.places.find((one) => (one.terminal ? `${one.ref}.${one.terminal}` : one.ref) === data.part);
      return (dx, dy) => {
        const [x, y] = this.grid([place.x + dx, place.y + dy]);
        return edit.movePlace(layout, data.part, () => ({ x, y }));
      };
    }
    if (data.bend) {
      const point = layout.lines.find((line) => line.name === data.of).via[+data.bend];
      return (dx, dy) => edit.moveBend(layout, data.of, +data.bend, this.grid([point[0] + dx, point[1] + dy]));
    }
    if (data.newbend) {
      const from = this.held.from;
      return (dx, dy) => edit.addBend(layout, data.of, +data.newbend, this.grid([from[0] + dx, from[1] + dy]));
    }
    if (data.join) {
      const join = layout.joins.find((one) => one.name === data.join);
      return (dx, dy) => edit.moveJoin(layout, data.join, this.grid([join.x + dx, join.y + dy]));
    }
    const cover = layout.covers[+data.cover];
    return (dx, dy) => {
      const [x, y] = this.grid([cover.x + dx, cover.y + dy]);
      return edit.changeCover(layout, +data.cover, { x, y });
    };
  }

  move(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    if (!held.moved && Math.hypot(event.clientX - held.start[0], event.clientY - held.start[1]) < DRAG_PX) return;
    held.moved = true;
    if (!held.grip) return;
    const at = this.fabric(event);
    held.layout = held.grip(at[0] - held.from[0], at[1] - held.from[1]);
    held.frame ||= requestAnimationFrame(() => { held.frame = 0; if (this.held === held) this.store.drag(held.layout); });
  }

  up(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    this.held = null;
    if (held.moved && held.layout) {
      this.store.view.chosen = chosenOf(held.target.dataset) || this.store.view.chosen;
      this.store.change(held.layout);
    } else if (!held.moved) {
      this.sewing.tap(this.fabric(event), held.target && held.target.dataset, this.units());
    }
  }

  cancel() {
    if (this.held && this.held.layout) { this.store.preview = null; this.store.show({}); }
    this.held = null;
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
