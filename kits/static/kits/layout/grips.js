// How what is held follows the finger: each grip takes where the finger is on the stage and gives the layout as it would be.

import * as edit from "./edits.js";
import { keyOf } from "./plan.js";

/** The grip of a touched thing (its data-…), held at a point of the stage. `desk`: layout, stage, side and grid. */
export function gripOf(data, start, desk) {
  const { layout } = desk;
  if (data.part) return wander(layout.places.find((place) => keyOf(place) === data.part), start, desk, (change) => edit.movePlace(layout, data.part, () => change));
  if (data.cover) return wander(layout.covers[+data.cover], start, desk, (change) => edit.changeCover(layout, +data.cover, change));
  if (data.join) {
    const join = layout.joins.find((one) => one.name === data.join);
    return stay(join.piece, [join.x, join.y], start, desk, (at) => edit.moveJoin(layout, join.name, at));
  }
  const line = layout.lines.find((one) => one.name === data.of);
  if (data.bend) return stay(line.piece, line.via[+data.bend], start, desk, (at) => edit.moveBend(layout, line.name, +data.bend, at));
  const middle = desk.stage.from(line.piece, start, desk.side);
  return stay(line.piece, middle, start, desk, (at) => edit.addBend(layout, line.name, +data.newbend, at));
}

/** What may go from one piece to another: it lies on the piece that the finger is over. */
function wander(thing, start, { stage, side, snap }, change) {
  const held = stage.from(thing.piece, start, side), off = [thing.x - held[0], thing.y - held[1]];
  return (point) => {
    const piece = stage.pieceAt(point), at = stage.from(piece, point, side);
    const [x, y] = snap([at[0] + off[0], at[1] + off[1]]);
    return change({ piece, x, y });
  };
}

/** What belongs to a line, and so to its piece. */
function stay(piece, from, start, { stage, side, snap }, change) {
  const held = stage.from(piece, start, side);
  return (point) => {
    const at = stage.from(piece, point, side);
    return change(snap([from[0] + at[0] - held[0], from[1] + at[1] - held[1]]));
  };
}
