// Draws one side of one piece of a layout. What can be touched carries data-part, data-line, data-bend …

import { dashes, distance, labelSpots, lengthOf, nearestOn } from "./geometry.js";
import { connectionsOfLines, course, ends, keyOf, spots, stillToSew } from "./plan.js";
import { artOf, el, path, words } from "./svg.js";

const MARGIN = 10;

export class Picture {
  constructor(circuit, say) {
    this.circuit = circuit;
    this.say = say;
  }

  /** What is in view, mm: the piece with a margin, and parts that lie off it. */
  box(layout, view) {
    const points = [...this.circuit.piece(view.piece).outline];
    for (const place of layout.places) if (place.piece === view.piece) points.push([place.x, place.y]);
    for (const line of layout.lines) if (line.piece === view.piece) points.push(...line.via);
    const near = points.map(([x, y]) => [Math.max(-500, Math.min(3000, x)), Math.max(-500, Math.min(3000, y))]);
    const [xs, ys] = [near.map((p) => p[0]), near.map((p) => p[1])];
    const [left, top] = [Math.min(...xs) - MARGIN, Math.min(...ys) - MARGIN];
    return { left, top, width: Math.max(...xs) + MARGIN - left, height: Math.max(...ys) + MARGIN - top };
  }

  /** Layers from the cloth up. `unit` is the size of one screen pixel in mm, so that what is touched stays large. */
  draw(layout, view, unit) {
    Object.assign(this, { layout, view, unit });
    this.spots = spots(this.circuit, layout);
    this.ends = ends(this.circuit, layout);
    this.connections = connectionsOfLines(this.circuit, layout);
    const here = layout.places.filter((place) => place.piece === view.piece);
    const near = here.filter((place) => place.side === view.side || place.terminal);
    const far = here.filter((place) => place.side !== view.side && !place.terminal);
    return [
      this.cloth(),
      ...this.here(layout.lines).map((line) => this.lineTouch(line)),
      ...far.map((place) => this.part(place, true)),
      ...layout.covers.flatMap((cover, index) => (cover.piece === view.piece ? [this.cover(cover, index)] : [])),
      ...near.map((place) => this.part(place, false)),
      ...stillToSew(this.circuit, layout, view.piece).map((link) => this.guide(link)),
      ...this.here(layout.lines).map((line) => this.line(line)),
      ...this.here(layout.joins).map((join) => this.join(join)),
      ...this.here(layout.lines).flatMap((line) => this.badges(line)),
      ...this.handles(),
      ...this.pending(),
      ...(view.tool === "line" ? this.targets() : []),
      ...(view.marks || []).filter((mark) => mark.piece === view.piece).map((mark) => this.mark(mark)),
    ];
  }

  here(things) { return things.filter((thing) => thing.piece === this.view.piece); }

  at([x, y]) {
    if (this.view.side === "outside") return [x, y];
    return [2 * this.view.box.left + this.view.box.width - x, y];
  }

  all(points) { return points.map((point) => this.at(point)); }

  chosen(kind, name) {
    const { chosen } = this.view;
    return chosen && chosen.kind === kind && chosen.name === name ? "chosen" : null;
  }

  cloth() {
    const piece = this.circuit.piece(this.view.piece);
    return el("g", { class: "cloth" },
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
    const name = far ? `${place.ref} (${this.say(place.side)})` : place.ref;
    const size = Math.max(3.4, 11 * this.unit); // never smaller than 11 px on the screen
    const corners = type.corners.map(([px, py]) => local(px, py));
    group.append(words(name, type.room && !far ? [x, y] : this.beside(corners, 0.66 * size * name.length, size), size, { class: "part-ref" }));
    const reach = Math.max(0, 16 * this.unit - type.half);
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
      el("circle", { class: "touch", cx: at[0], cy: at[1], r: Math.max(type.radius, 18 * this.unit) }),
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

  label(line) {
    const found = this.connections[line.name] || [];
    return found.length > 1 ? { label: "?", colour: "#2b2320" } : found[0] || { label: "", colour: "#2b2320" };
  }

  /** What a finger hits of a line lies beneath the parts: a wide band on top would take their touches. */
  lineTouch(line) {
    const { points } = course(line, this.ends);
    const d = path(points.length ? this.all(points) : [[0, 0]]);
    return el("path", { class: "touch line-touch", d, "stroke-width": Math.max(4, 24 * this.unit), "data-line": line.name });
  }

  line(line) {
    const { points, whole } = course(line, this.ends);
    const drawn = this.all(points), total = lengthOf(drawn), d = path(drawn.length ? drawn : [[0, 0]]);
    const { colour, label } = this.label(line);
    const group = el("g", {
      class: `line ${whole ? "" : "loose"} ${this.chosen("line", line.name) || ""}`, "data-line": line.name, "data-key": `line ${line.name}`, tabindex: 0, role: "button",
      "aria-label": this.say("line_between", { name: line.name, from: this.circuit.spoken(line.from), to: this.circuit.spoken(line.to), label }),
    });
    group.append(el("path", { class: "line-glow", d }), el("path", { class: "line-core", d, stroke: colour }));
    if (whole && total > 0) {
      const stitch = dashes(total, this.circuit.stitch, this.view.side, 1);
      group.append(el("path", { class: "line-stitches", d, stroke: colour, "stroke-dasharray": stitch.array, "stroke-dashoffset": stitch.offset }));
    }
    return group;
  }

  badges(line) {
    const { label, colour } = this.label(line);
    if (!label) return [];
    const size = Math.max(3.6, 11 * this.unit);
    return labelSpots(this.all(course(line, this.ends).points)).map(([x, y]) =>
      el("g", { class: "badge-on-line", fill: colour }, el("circle", { cx: x, cy: y, r: 0.6 * size }), words(label, [x, y], size)));
  }

  join(join) {
    const [x, y] = this.at([join.x, join.y]);
    return el("g", { class: `join ${this.chosen("join", join.name) || ""}`, "data-join": join.name, "data-key": `join ${join.name}`, tabindex: 0, role: "button", "aria-label": this.say("join_at", { name: join.name, x: join.x, y: join.y }) },
      el("circle", { class: "touch", cx: x, cy: y, r: Math.max(2, 14 * this.unit) }),
      el("circle", { class: "join-dot", cx: x, cy: y, r: 1.6 }));
  }

  /** Bends of the chosen line as handles, and between them smaller ones from which a new bend is pulled. */
  handles() {
    const { chosen } = this.view;
    const line = chosen && chosen.kind === "line" && this.here(this.layout.lines).find((one) => one.name === chosen.name);
    if (!line || this.view.tool !== "move") return [];
    const { points, whole } = course(line, this.ends);
    if (!whole) return [];
    const handle = (kind, index, point) => {
      const [x, y] = this.at(point);
      return el("g", { class: `handle ${kind} ${chosen.bend === index && kind === "bend" ? "chosen" : ""}`, [`data-${kind}`]: index, "data-of": line.name },
        el("circle", { class: "touch", cx: x, cy: y, r: 18 * this.unit }),
        el("circle", { class: "handle-dot", cx: x, cy: y, r: (kind === "bend" ? 7 : 5) * this.unit }));
    };
    const middles = points.slice(1).map((point, i) => [i, [(point[0] + points[i][0]) / 2, (point[1] + points[i][1]) / 2], distance(point, points[i])]);
    return [
      ...middles.filter(([, , long]) => long > 40 * this.unit).map(([i, point]) => handle("newbend", i, point)),
      ...line.via.map((point, i) => handle("bend", i, point)),
    ];
  }

  /** The line being drawn: from its first end over its bends. */
  pending() {
    const { pending } = this.view;
    if (!pending || pending.piece !== this.view.piece || !this.ends[pending.from]) return [];
    const points = this.all([this.ends[pending.from].at, ...pending.via]);
    const [x, y] = points[points.length - 1];
    return [el("g", { class: "pending" }, el("path", { d: path(points) }),
      ...points.map(([px, py]) => el("circle", { cx: px, cy: py, r: 1.2 })),
      el("circle", { class: "pending-tip", cx: x, cy: y, r: Math.max(3.2, 12 * this.unit) }))];
  }

  /** While a line is drawn, every metal hole and meeting point can be reached by key. */
  targets() {
    return Object.entries(this.ends).filter(([, spot]) => spot.piece === this.view.piece).map(([end, spot]) => {
      const [x, y] = this.at(spot.at);
      return el("circle", { class: "target", cx: x, cy: y, r: Math.max(3, 9 * this.unit), "data-end": end, "data-key": `end ${end}`, tabindex: 0, role: "button", "aria-label": this.circuit.spoken(end) });
    });
  }

  mark(mark) {
    const spot = this.at([mark.x, mark.y]), size = Math.max(3.4, 11 * this.unit), [x, y] = [spot[0] + 1.6 * size, spot[1] - 1.6 * size];
    const ring = (corners, start, reach) => Array.from({ length: corners }, (_, i) => {
      const angle = start + (2 * Math.PI * i) / corners;
      return [x + reach * Math.cos(angle), y + reach * Math.sin(angle)];
    });
    const shape = mark.kind === "stop" ? el("path", { d: path(ring(8, Math.PI / 8, size * 1.08), true) })
      : mark.kind === "look" ? el("path", { d: path(ring(3, -Math.PI / 2, size * 1.35), true) })
        : el("circle", { cx: x, cy: y, r: size });
    return el("g", { class: `mark mark-${mark.kind}`, "data-finding": mark.number },
      el("path", { class: "mark-leader", d: path([spot, [x, y]]), "stroke-width": 1.5 * this.unit }),
      el("circle", { class: "mark-spot", cx: spot[0], cy: spot[1], r: 3 * this.unit }),
      shape, words(mark.number, [x, y + (mark.kind === "look" ? 0.2 * size : 0)], size * 1.1));
  }
}
