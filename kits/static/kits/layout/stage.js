// Where each piece lies on the drawing: side by side, or one below the other where that shows them larger.
// "Stage" is the plane of the drawing; "fabric" is one piece's own millimetres as seen from the outside.

const MARGIN = 10;
const FAR = 500; // a part dragged far off must not shrink the cloth to a dot

export class Stage {
  /** `room` is what the screen offers, in any unit: {width, height}. */
  constructor(circuit, layout, room) {
    const boxes = circuit.pieces.map((piece) => boxOf(piece, layout));
    const row = placed(boxes, true), column = placed(boxes, false);
    Object.assign(this, scaleOf(row, room) >= scaleOf(column, room) ? row : column);
  }

  frame(piece) { return this.frames.find((frame) => frame.piece === piece); }

  /** A point of the fabric as it is drawn: on the inside each piece is turned over where it lies. */
  at(piece, [x, y], side) {
    const { left, width, dx, dy } = this.frame(piece);
    return [(side === "inside" ? 2 * left + width - x : x) + dx, y + dy];
  }

  /** The other way round. */
  from(piece, [x, y], side) {
    const { left, width, dx, dy } = this.frame(piece), own = x - dx;
    return [side === "inside" ? 2 * left + width - own : own, y - dy];
  }

  /** The piece whose place on the drawing is nearest to a point of it. */
  pieceAt([x, y]) {
    const far = ({ left, top, width, height, dx, dy }) => Math.hypot(
      Math.max(left + dx - x, 0, x - left - dx - width), Math.max(top + dy - y, 0, y - top - dy - height));
    return this.frames.reduce((best, one) => (far(one) < far(best) ? one : best)).piece;
  }
}

/** What is in view of a piece, mm: the piece with a margin, and what lies off it. */
function boxOf(piece, layout) {
  const [xs, ys] = [0, 1].map((k) => piece.outline.map((point) => point[k]));
  const loose = [...layout.places, ...layout.joins].filter((one) => one.piece === piece.name).map((one) => [one.x, one.y]);
  for (const line of layout.lines) if (line.piece === piece.name) loose.push(...line.via);
  const [left, top, right, bottom] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const near = (value, low, high) => Math.max(low - FAR, Math.min(high + FAR, value));
  const [lx, ly] = [loose.map(([x]) => near(x, left, right)), loose.map(([, y]) => near(y, top, bottom))];
  const box = { piece: piece.name, left: Math.min(left, ...lx) - MARGIN, top: Math.min(top, ...ly) - MARGIN };
  return { ...box, width: Math.max(right, ...lx) + MARGIN - box.left, height: Math.max(bottom, ...ly) + MARGIN - box.top };
}

function placed(boxes, beside) {
  const most = (name) => Math.max(...boxes.map((box) => box[name]));
  let far = 0;
  const frames = boxes.map((box) => {
    const [x, y] = beside ? [far, (most("height") - box.height) / 2] : [(most("width") - box.width) / 2, far];
    far += beside ? box.width : box.height;
    return { ...box, dx: x - box.left, dy: y - box.top };
  });
  return { frames, width: beside ? far : most("width"), height: beside ? most("height") : far };
}

const scaleOf = (stage, room) => Math.min(room.width / stage.width, room.height / stage.height);
