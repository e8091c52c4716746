// Parts that have no place yet, beside the drawing: drag one on to the cloth, or tap it.

import * as edit from "./edits.js";
import { button, h, refill } from "./dom.js";
import { snapped } from "./geometry.js";
import { items } from "./plan.js";
import { artOf, el } from "./svg.js";

const DRAG_PX = 6;

export class Tray {
  constructor(place, circuit, store, camera, say) {
    Object.assign(this, { place, circuit, store, camera, say, held: null });
    place.addEventListener("pointermove", (event) => this.move(event));
    place.addEventListener("pointerup", (event) => this.up(event));
    place.addEventListener("pointercancel", () => this.drop());
  }

  /** Fills the tray anew only when another part lies in it: a button must not be swapped under a finger. */
  show() {
    const left = items(this.circuit, this.store.layout).filter(({ place }) => !place), names = left.map(({ key }) => key).join(" ");
    if (names === this.names) return;
    this.names = names;
    refill(this.place, left.length ? [h("span", {}, this.say("to_put_on")), ...left.map((item) => this.button(item))] : []);
  }

  button(item) {
    const name = item.terminal ? this.circuit.spoken(item.key) : item.ref;
    const made = button(name, `tray ${item.key}`, () => this.tapped(item), {
      class: "btn btn-secondary tray-part", "aria-label": this.say("put_this_on", { ref: name, name: this.circuit.type(item.ref).name }),
      onpointerdown: (event) => this.down(event, item),
    });
    made.prepend(this.small(item));
    return made;
  }

  /** The part as it looks, so large on the screen as on the cloth, and small in its button. */
  small(item) {
    const type = this.circuit.type(item.ref), [[left, top], , [right, bottom]] = type.corners;
    const art = item.terminal ? [el("circle", { class: "eyelet", r: type.radius * 0.86 }), el("circle", { class: "eyelet-hole", r: type.radius * 0.4 })] : artOf(type);
    const box = item.terminal ? [-type.radius, -type.radius, 2 * type.radius, 2 * type.radius] : [left, top, right - left, bottom - top];
    return el("svg", { class: "tray-art", viewBox: box.join(" "), "data-wide": box[2], "aria-hidden": "true", fill: "none" }, ...art);
  }

  /** By key, the focus goes along: the arrow keys move the part at once. */
  tapped(item) {
    if (this.dragged) { this.dragged = false; return; }
    const byKey = document.activeElement.matches(":focus-visible");
    this.put(item, this.store.view.piece, this.freeSpot(this.circuit.type(item.ref).reach));
    if (byKey) this.camera.svg.querySelector(`[data-part="${CSS.escape(item.key)}"]`)?.focus();
  }

  down(event, item) {
    if (!event.isPrimary || event.button > 0) return;
    this.dragged = false;
    this.held = { id: event.pointerId, item, from: event.currentTarget, start: [event.clientX, event.clientY], moved: false };
    event.currentTarget.setPointerCapture(event.pointerId);
  }

  move(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    if (!held.moved && Math.hypot(event.clientX - held.start[0], event.clientY - held.start[1]) < DRAG_PX) return;
    held.moved = true;
    held.spot = this.spot(event);
    this.follow(event, held);
    // While it is not over the cloth, the layout as it is stands for what would be.
    this.store.drag(held.spot ? this.layoutWith(held.item, held.spot) : this.store.layout);
  }

  /** The piece and the point of it beneath a finger; null off the drawing. */
  spot(event) {
    const box = this.camera.svg.getBoundingClientRect(), { view } = this.store;
    if (event.clientX < box.left || event.clientX > box.right || event.clientY < box.top || event.clientY > box.bottom) return null;
    const point = this.camera.at(event), piece = this.camera.stage.pieceAt(point);
    return { piece, at: this.camera.stage.from(piece, point, view.side).map((value) => snapped(value, view.grid)) };
  }

  /** The part's picture goes with the finger until it is over the cloth. */
  follow(event, held) {
    if (!held.ghost) {
      held.ghost = this.small(held.item);
      held.ghost.setAttribute("class", "tray-ghost");
      held.ghost.style.width = `${+held.ghost.dataset.wide / this.camera.unit}px`;
      document.body.append(held.ghost);
    }
    Object.assign(held.ghost.style, { left: `${event.clientX}px`, top: `${event.clientY}px`, visibility: held.spot ? "hidden" : "visible" });
  }

  up(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.id) return;
    this.drop();
    if (!held.moved) return;
    this.dragged = true; // the click that follows is no tap
    setTimeout(() => { this.dragged = false; });
    if (held.spot) this.put(held.item, held.spot.piece, held.spot.at);
    else this.store.show({});
  }

  drop() {
    if (!this.held) return;
    this.held.ghost?.remove();
    this.held = null;
    this.store.preview = null;
    this.store.show({});
  }

  layoutWith({ ref, terminal }, { piece, at: [x, y] }) {
    const side = terminal ? "outside" : this.store.view.side;
    return edit.put(this.store.layout, { ref, piece, x, y, turn: 0, side, terminal });
  }

  put(item, piece, at) {
    const { view } = this.store;
    Object.assign(view, { chosen: { kind: "part", name: item.key }, piece, tool: "move", pending: null });
    this.store.change(this.layoutWith(item, { piece, at }), this.say("put_on_done", { ref: item.key }));
  }

  /** A spot where nothing lies yet, as near the middle of the piece as can be. */
  freeSpot(reach) {
    const { layout, view } = this.store, { outline } = this.circuit.piece(view.piece);
    const [xs, ys] = [outline.map((p) => p[0]), outline.map((p) => p[1])];
    const middle = [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
    const taken = layout.places.filter((place) => place.piece === view.piece);
    const clear = ([x, y]) => taken.every((place) => Math.hypot(place.x - x, place.y - y) > reach + this.circuit.type(place.ref).reach + 4);
    for (let ring = 0; ring < 40; ring++) {
      for (let step = 0; step < 16; step++) {
        const angle = (step * Math.PI) / 8;
        const at = [middle[0] + ring * 5 * Math.cos(angle), middle[1] + ring * 5 * Math.sin(angle)].map((value) => Math.round(value));
        if (at[0] > Math.min(...xs) && at[0] < Math.max(...xs) && at[1] > Math.min(...ys) && at[1] < Math.max(...ys) && clear(at)) return at;
      }
    }
    return middle;
  }
}
