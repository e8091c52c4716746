// Draws one side of a layout, piece by piece. What can be touched carries data-part, data-line, data-bend …

import { nearestOn } from "./geometry.js";
import { drawMark, markTouch, sizeOf, standClear } from "./marks.js";
import { connectionsOfLines, course, ends, keyOf, spots, stillToSew } from "./plan.js";
import { artOf, el, path, words } from "./svg.js";
import { Threads } from "./threads.js";

export class Picture {
  constructor(circuit, say) {
    Object.assign(this, { circuit, say });
    this.threads = new Threads(this);
  }

  /** All pieces. `unit` is the size of one screen pixel in mm, so that what is touched stays large. */
  draw(layout, view, stage, unit) {
    Object.assign(this, { layout, view, stage, unit });
    this.spots = spots(this.circuit, layout);
    this.ends = ends(this.circuit, layout);
    this.connections = connectionsOfLines(this.circuit, layout);
    const drawn = this.circuit.pieces.map(({ name }) => { this.piece = name; return el("g", { "data-piece": name }, ...this.layers()); });
    return [...drawn, ...this.crossings()];
  }

  /** One piece, from the cloth up. */
  layers() {
    const { layout, view, threads } = this, here = this.here(layout.places), lines = this.here(layout.lines);
    const near = here.filter((place) => place.side === view.side || place.terminal);
    const far = here.filter((place) => place.side !== view.side && !place.terminal);
    const [touches, marks] = this.marks();
    return [
      this.cloth(),
      ...lines.map((line) => threads.touch(line)),
      ...touches,
      ...far.map((place) => this.part(place, true)),
      ...layout.covers.flatMap((cover, index) => (cover.piece === this.piece ? [this.cover(cover, index)] : [])),
      ...near.map((place) => this.part(place, false)),
      ...stillToSew(this.circuit, layout, this.piece).map((link) => this.guide(link)),
      ...lines.map((line) => threads.line(line)),
      ...this.here(layout.joins).map((join) => this.join(join)),
      ...lines.flatMap((line) => threads.badges(line)),
      ...threads.handles(),
      ...threads.pending(),
      ...(view.tool === "line" ? threads.targets() : []),
      ...marks,
    ];
  }

  here(things) { return things.filter((thing) => thing.piece === this.piece); }

  at(point) { return this.stage.at(this.piece, point, this.view.side); }

  all(points) { return points.map((point) => this.at(point)); }

  chosen(kind, name) {
    const { chosen } = this.view;
    return chosen && chosen.kind === kind && chosen.name === name ? "chosen" : null;
  }

  cloth() {
    const piece = this.circuit.piece(this.piece), { left, top, width, dx, dy } = this.stage.frame(this.piece);
    const name = this.circuit.pieces.length > 1 ? [words(this.piece, [left + dx + width / 2, top + dy + 5], Math.max(4, 13 * this.unit), { class: "piece-name" })] : [];
    return el("g", { class: "cloth" }, ...name,
      el("path", { class: "cloth-piece", d: path(this.all(piece.outline), true) }),
      ...piece.inner.map((ring) => el("path", { class: "cloth-seam", d: path(this.all(ring), true) })));
  }

  part(place, far) {
    const key = keyOf(place), type = this.circuit.type(place.ref);
    const group = el("g", {
      "data-part": key, "data-key": `part ${key}`, tabindex: 0, role: "button", class: `part ${far ? "far" : ""} ${this.chosen("part", key) || ""}`,
      "aria-label": this.say("part_at", { ref: key, name: type.name, x: place.x, y: place.y, side: this.say(place.side) }),
    });
    if (place.terminal) return this.halfPart(group, place, type);
    const mirror = (place.side === "inside") !== (this.view.side === "inside") ? -1 : 1;
    const [x, y] = this.at([place.x, place.y]);
    const turn = this.view.side === "inside" ? -place.turn : place.turn;
    group.append(el("g", { class: "part-art", transform: `translate(${x} ${y}) rotate(${turn}) scale(${mirror} 1)` }, ...artOf(type)));
    const local = (px, py) => {
      const angle = (turn * Math.PI) / 180;
      return [x + mirror * px * Math.cos(angle) - py * Math.sin(angle), y + mirror * px * Math.sin(angle) + py * Math.cos(angle)];
    };
    for (const word of type.words) group.append(words(word.words, local(word.x, word.y), word.size));
    // Where the drawing is small there is no room for the side as well: what lies on the other one is pale.
    const name = far && this.unit < 0.35 ? `${place.ref} (${this.say(place.side)})` : place.ref;
    const size = Math.max(3.4, 11 * this.unit); // never smaller than 11 px on the screen
    const corners = type.corners.map(([px, py]) => local(px, py));
    group.append(words(name, type.room && !far ? [x, y] : this.beside(corners, 0.66 * size * name.length, size), size, { class: "part-ref" }));
    const reach = Math.max(0, 22 * this.unit - type.half);
    group.prepend(el("path", { class: "touch", d: path(corners, true), "stroke-width": 2 * reach }));
    return group;
  }

  /** Where a name stands beside a part: below, above, right or left of it, the first that no line runs through. */
  beside(corners, wide, high) {
    const [xs, ys] = [corners.map((corner) => corner[0]), corners.map((corner) => corner[1])];
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const [x, y, dx, dy] = [(left + right) / 2, (top + bottom) / 2, wide / 2 + 0.8, high / 2 + 0.8];
    const spots = [[x, bottom + dy], [x, top - dy], [right + dx, y], [left - dx, y]];
    const clear = ([sx, sy]) => this.here(this.layout.lines).every((line) => {
      const points = this.all(course(line, this.ends).points);
      const ends = [[sx - wide / 2, sy], [sx, sy], [sx + wide / 2, sy]];
      return !points.length || ends.every((end) => nearestOn(points, end).far > 0.7 * high);
    });
    return spots.find(clear) || spots[0];
  }

  halfPart(group, place, type) {
    const at = this.at([place.x, place.y]);
    const terminal = type.terminals.find((one) => one.name === place.terminal);
    group.append(
      el("circle", { class: "touch", cx: at[0], cy: at[1], r: Math.max(type.radius, 20 * this.unit) }),
      el("circle", { class: "eyelet", cx: at[0], cy: at[1], r: type.radius * 0.86 }),
      el("circle", { class: "eyelet-hole", cx: at[0], cy: at[1], r: type.radius * 0.4 }),
      words(`${place.ref} ${terminal.label || terminal.name}`, [at[0], at[1] + type.radius + 2.4], 2.8));
    return group;
  }

  cover(cover, index) {
    const [x, y] = this.at([cover.x, cover.y]);
    const teeth = Math.max(10, Math.round((2 * Math.PI * cover.radius) / 2.2));
    const edge = Array.from({ length: 2 * teeth }, (_, i) => {
      const reach = i % 2 ? Math.max(cover.radius - 1, 0.7 * cover.radius) : cover.radius;
      return [x + reach * Math.cos((Math.PI * i) / teeth), y + reach * Math.sin((Math.PI * i) / teeth)];
    });
    return el("g", { class: `cover ${this.chosen("cover", index) || ""}`, "data-cover": index, "data-key": `cover ${index}`, tabindex: 0, role: "button", "aria-label": this.say("cover_at", { x: cover.x, y: cover.y }) },
      el("path", { d: path(edge, true) }));
  }

  guide({ connection, from, to }) {
    return el("path", { class: "guide", d: path(this.all([from, to])), stroke: connection.colour });
  }

  join(join) {
    const [x, y] = this.at([join.x, join.y]);
    return el("g", { class: `join ${this.chosen("join", join.name) || ""}`, "data-join": join.name, "data-key": `join ${join.name}`, tabindex: 0, role: "button", "aria-label": this.say("join_at", { name: join.name, x: join.x, y: join.y }) },
      el("circle", { class: "touch", cx: x, cy: y, r: Math.max(2, 14 * this.unit) }),
      el("circle", { class: "join-dot", cx: x, cy: y, r: 1.6 }));
  }

  /** Marks of findings, beside their spots: what a finger hits of each, and its shape. */
  marks() {
    const marks = this.here(this.view.marks || []), spots = marks.map((mark) => this.at([mark.x, mark.y]));
    const holes = Object.values(this.spots).filter((spot) => spot.piece === this.piece).map((spot) => this.at(spot.at));
    const { left, top, width, height, dx, dy } = this.stage.frame(this.piece);
    const box = [left + dx, top + dy, left + dx + width, top + dy + height];
    const names = this.here(this.layout.places).map((place) => this.at([place.x, place.y]));
    const stands = standClear(spots, sizeOf(this.unit), [...holes, ...names], box);
    const touches = marks.map((mark, i) => markTouch(mark, stands[i], this.unit));
    return [touches, marks.map((mark, i) => drawMark(mark, spots[i], stands[i], this.unit, {
      class: this.view.pointed === mark.number ? "pointed" : "", "data-finding": mark.number, "data-key": `mark ${mark.number} ${i}`,
      tabindex: 0, role: "button", "aria-label": this.say("mark_at", { number: mark.number, title: mark.title }),
    }))];
  }

  /** A thread from crossing to crossing, where it goes through from one piece to another. */
  crossings() {
    const found = Object.entries(this.spots).filter(([end]) => this.circuit.part[end.split(".")[0]].apart);
    return found.flatMap(([end, spot], i) => found.slice(0, i).filter(([other, there]) => other.split(".")[0] === end.split(".")[0] && there.piece !== spot.piece)
      .map(([, there]) => el("path", { class: "seam-thread", d: path([spot, there].map((one) => this.stage.at(one.piece, one.at, this.view.side))) })));
  }
}
