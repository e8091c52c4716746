// Points on the fabric: millimetres, x right, y down, as seen from the outside.

export const distance = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Where an offset from a part's origin lies: mirrored first on the inside, then turned clockwise, then moved. */
export function onFabric(place, x, y) {
  if (place.side === "inside") x = -x;
  const angle = (place.turn * Math.PI) / 180;
  const cos = Math.cos(angle), sin = Math.sin(angle);
  return [place.x + x * cos - y * sin, place.y + x * sin + y * cos];
}

export function lengthOf(points) {
  let total = 0;
  for (let i = 1; i < points.length; i++) total += distance(points[i - 1], points[i]);
  return total;
}

/** The point at a distance along a polyline. */
export function along(points, far) {
  for (let i = 1; i < points.length; i++) {
    const step = distance(points[i - 1], points[i]);
    if (far <= step && step > 0) {
      const t = far / step;
      return [0, 1].map((k) => points[i - 1][k] + t * (points[i][k] - points[i - 1][k]));
    }
    far -= step;
  }
  return points[points.length - 1];
}

/** Where a line's label is repeated: every 55 mm or so, at least 4 mm from the bends where a stretch is long enough. */
export function labelSpots(points) {
  const total = lengthOf(points);
  if (total < 7) return [];
  const ends = [0];
  for (let i = 1; i < points.length; i++) ends.push(ends[i - 1] + distance(points[i - 1], points[i]));
  const straights = ends.slice(1).map((end, i) => [ends[i], end]).filter(([a, b]) => b - a >= 8);
  const count = Math.max(1, Math.round(total / 55));
  const wanted = Array.from({ length: count }, (_, i) => ((i + 0.5) * total) / count);
  const offBends = (far) => {
    const kept = straights.map(([a, b]) => Math.min(Math.max(far, a + 4), b - 4));
    return kept.length ? kept.reduce((best, one) => (Math.abs(one - far) < Math.abs(best - far) ? one : best)) : far;
  };
  return [...new Set(wanted.map(offBends))].map((far) => along(points, far));
}

/** Nearest point of a polyline: {at, far, segment}; segment 0 lies between the first two points. */
export function nearestOn(points, to) {
  let best = { at: points[0], far: distance(points[0], to), segment: 0 };
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1], points[i]];
    const square = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2;
    const raw = square === 0 ? 0 : ((to[0] - a[0]) * (b[0] - a[0]) + (to[1] - a[1]) * (b[1] - a[1])) / square;
    const t = Math.max(0, Math.min(1, raw));
    const at = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    const far = distance(at, to);
    if (far < best.far) best = { at, far, segment: i - 1 };
  }
  return best;
}

/** Running stitch over a length: a whole number of stitches, every other one on the side that is shown. */
export function dashes(total, stitch, side, width) {
  const pitch = total / Math.max(1, Math.round(total / stitch));
  const cap = Math.min(width, 0.6 * pitch);
  return { array: `${pitch - cap} ${pitch + cap}`, offset: (side === "outside" ? 0 : pitch) - cap / 2 };
}

/** Rounded to a grid in mm; to a tenth where there is none. */
export const snapped = (value, grid) => (grid ? Math.round(value / grid) * grid : Math.round(value * 10) / 10);

export const tidy = (value) => Math.round(value * 100) / 100;
