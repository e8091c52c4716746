// Marks of findings on the drawing: a shape for each kind, beside its spot, clear of the others.

import { distance } from "./geometry.js";
import { el, path, words } from "./svg.js";

const WAYS = [-1, -3, 1, 3, -2, 0, 4, 2].map((eighth) => [Math.cos((eighth * Math.PI) / 4), Math.sin((eighth * Math.PI) / 4)]);

/** Where each mark stands, in their order: `spots` as drawn, inside `box`; `avoid` are places that had better stay in sight. */
export function standClear(spots, size, avoid, [left, top, right, bottom]) {
  const taken = [];
  const outside = ([x, y]) => x < left + size || x > right - size || y < top + size || y > bottom - size;
  return spots.map((spot) => {
    const choices = [2.3, 4.2, 6.2].flatMap((reach) => WAYS.map(([x, y]) => [spot[0] + reach * size * x, spot[1] + reach * size * y]));
    const cost = (at) => 9 * outside(at) + 5 * taken.filter((one) => distance(one, at) < 2.3 * size).length
      + avoid.filter((one) => distance(one, at) < 1.5 * size).length + distance(at, spot) / (8 * size);
    const best = choices.reduce((found, at) => (cost(at) < cost(found) ? at : found));
    taken.push(best);
    return best;
  });
}

export function drawMark(mark, spot, [x, y], unit, attributes) {
  const size = sizeOf(unit);
  const ring = (corners, start, reach) => Array.from({ length: corners }, (_, i) => {
    const angle = start + (2 * Math.PI * i) / corners;
    return [x + reach * Math.cos(angle), y + reach * Math.sin(angle)];
  });
  const shape = mark.kind === "stop" ? el("path", { d: path(ring(8, Math.PI / 8, size * 1.08), true) })
    : mark.kind === "look" ? el("path", { d: path(ring(3, -Math.PI / 2, size * 1.35), true) })
      : el("circle", { cx: x, cy: y, r: size });
  return el("g", { ...attributes, class: `mark mark-${mark.kind} ${attributes.class || ""}` },
    el("path", { class: "mark-leader", d: path([spot, [x, y]]), "stroke-width": 1.5 * unit }),
    el("circle", { class: "mark-spot", cx: spot[0], cy: spot[1], r: 3 * unit }),
    el("circle", { class: "mark-ring", cx: x, cy: y, r: 1.5 * size }),
    shape, words(mark.number, [x, y + (mark.kind === "look" ? 0.2 * size : 0)], size * 1.1));
}

/** What a finger hits of a mark beside its shape: beneath the parts, so that it takes no touch of theirs. */
export const markTouch = (mark, [x, y], unit) => el("circle", { class: "touch mark-touch", cx: x, cy: y, r: Math.max(sizeOf(unit), 22 * unit), "data-finding": mark.number });

export const sizeOf = (unit) => Math.max(3.4, 11 * unit);
