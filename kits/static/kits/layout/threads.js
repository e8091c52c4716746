// Thread on the drawing: lines as running stitch, their anchors and labels, and what one pulls at.

import { dashes, distance, labelSpots, lengthOf } from "./geometry.js";
import { course } from "./plan.js";
import { el, path, words } from "./svg.js";

const INK = "#2b2320";

/** `pen` is the picture as it draws one piece: its layout, view, unit, ends, and `all`, `at`, `here`, `chosen`. */
export class Threads {
  constructor(pen) { this.pen = pen; }

  label(line) {
    const found = this.pen.connections[line.name] || [];
    return found.length > 1 ? { label: "?", colour: INK } : found[0] || { label: "", colour: INK };
  }

  points(line) {
    const { points, whole } = course(line, this.pen.ends);
    return { drawn: this.pen.all(points), points, whole };
  }

  /** What a finger hits of a line lies beneath the parts: a wide band on top would take their touches. */
  touch(line) {
    const { drawn } = this.points(line);
    return el("path", { class: "touch line-touch", d: path(drawn.length ? drawn : [[0, 0]]), "stroke-width": Math.max(4, 24 * this.pen.unit), "data-line": line.name });
  }

  line(line) {
    const { pen } = this, { drawn, whole } = this.points(line), total = lengthOf(drawn), d = path(drawn.length ? drawn : [[0, 0]]);
    const { colour, label } = this.label(line), { spoken } = pen.circuit;
    const group = el("g", {
      class: `line ${whole ? "" : "loose"} ${pen.chosen("line", line.name) || ""}`, "data-line": line.name, "data-key": `line ${line.name}`, tabindex: 0, role: "button",
      "aria-label": pen.say("line_between", { name: line.name, from: spoken.call(pen.circuit, line.from), to: spoken.call(pen.circuit, line.to), label }),
    });
    group.append(el("path", { class: "line-glow", d }), el("path", { class: "line-core", d, stroke: colour }));
    if (whole && total > 0) {
      const stitch = dashes(total, pen.circuit.stitch, pen.view.side, 0.9);
      group.append(el("path", { class: "line-stitches", d, stroke: colour, "stroke-dasharray": stitch.array, "stroke-dashoffset": stitch.offset }));
      group.append(el("path", { class: "anchors", d: this.anchor(line.from, drawn) + this.anchor(line.to, [...drawn].reverse()), stroke: colour }));
    }
    return group;
  }

  /** Three tight stitches over the rim of a terminal, on the side that the line comes from. */
  anchor(end, [at, ...others]) {
    const towards = others.find((point) => distance(point, at) > 0);
    if (end.startsWith("@") || !towards) return "";
    const radius = this.pen.circuit.type(end.split(".")[0]).radius, turn = Math.atan2(towards[1] - at[1], towards[0] - at[0]);
    return [-0.55, 0, 0.55].map((lean) => path([0.4, 1.25].map((far) =>
      [at[0] + far * radius * Math.cos(turn + lean), at[1] + far * radius * Math.sin(turn + lean)]))).join("");
  }

  badges(line) {
    const { label, colour } = this.label(line), size = Math.max(3.6, 11 * this.pen.unit);
    const { drawn, whole } = this.points(line);
    if (!label || !whole) return [];
    return labelSpots(drawn).map(([x, y]) =>
      el("g", { class: "badge-on-line", fill: colour }, el("circle", { cx: x, cy: y, r: 0.6 * size }), words(label, [x, y], size)));
  }

  /** Bends of the chosen line as handles, and between them smaller ones from which a new bend is pulled. */
  handles() {
    const { pen } = this, { chosen } = pen.view;
    const line = chosen && chosen.kind === "line" && pen.here(pen.layout.lines).find((one) => one.name === chosen.name);
    if (!line || pen.view.tool !== "move") return [];
    const { points, whole } = this.points(line);
    if (!whole) return [];
    const handle = (kind, index, point) => {
      const [x, y] = pen.at(point), bend = kind === "bend";
      const spoken = bend ? { tabindex: 0, role: "button", "data-key": `bend ${line.name} ${index}`, "aria-label": pen.say("bend_at", { number: index + 1, name: line.name, x: point[0], y: point[1] }) } : {};
      return el("g", { class: `handle ${kind} ${chosen.bend === index && bend ? "chosen" : ""}`, [`data-${kind}`]: index, "data-of": line.name, ...spoken },
        el("circle", { class: "touch", cx: x, cy: y, r: (bend ? 22 : 18) * pen.unit }),
        el("circle", { class: "handle-dot", cx: x, cy: y, r: (bend ? 7 : 5) * pen.unit }));
    };
    const middles = points.slice(1).map((point, i) => [i, [(point[0] + points[i][0]) / 2, (point[1] + points[i][1]) / 2], distance(point, points[i])]);
    return [
      ...middles.filter(([, , long]) => long > 40 * pen.unit).map(([i, point]) => handle("newbend", i, point)),
      ...line.via.map((point, i) => handle("bend", i, point)),
    ];
  }

  /** The line being drawn: from its first end over its bends. */
  pending() {
    const { pen } = this, { pending } = pen.view;
    if (!pending || pending.piece !== pen.piece || !pen.ends[pending.from]) return [];
    const points = pen.all([pen.ends[pending.from].at, ...pending.via]), [x, y] = points[points.length - 1];
    return [el("g", { class: "pending" }, el("path", { d: path(points) }), ...points.map(([px, py]) => el("circle", { cx: px, cy: py, r: 1.2 })),
      el("circle", { class: "pending-tip", cx: x, cy: y, r: Math.max(3.2, 12 * pen.unit) }))];
  }

  /** While a line is drawn, every metal hole and meeting point can be reached by key. */
  targets() {
    const { pen } = this;
    return Object.entries(pen.ends).filter(([, spot]) => spot.piece === pen.piece).map(([end, spot]) => {
      const [x, y] = pen.at(spot.at), joined = pen.circuit.connectionOf[end];
      const name = joined ? pen.say("hole_of", { end: pen.circuit.spoken(end), label: joined.label }) : pen.circuit.spoken(end);
      return el("circle", { class: "target", cx: x, cy: y, r: Math.max(3, 9 * pen.unit), "data-end": end, "data-key": `end ${end}`, tabindex: 0, role: "button", "aria-label": name });
    });
  }
}
