// What of the drawing is in view: all of it, or a closer look that can be moved about.

const CLOSEST = 10;

export class Camera {
  constructor(svg) { Object.assign(this, { svg, zoom: 1, centre: null }); }

  /** Looks at a stage through a window of so many screen pixels. */
  look(stage, width, height) {
    Object.assign(this, { stage, width, height });
    this.whole = Math.min(width / stage.width, height / stage.height);
    this.centre ||= [stage.width / 2, stage.height / 2];
    const scale = this.whole * this.zoom;
    const wide = width / scale, high = height / scale;
    this.centre = [held(this.centre[0], wide, stage.width), held(this.centre[1], high, stage.height)];
    this.unit = 1 / scale; // mm in a screen pixel
    this.svg.setAttribute("width", width);
    this.svg.setAttribute("height", height);
    this.svg.setAttribute("viewBox", [this.centre[0] - wide / 2, this.centre[1] - high / 2, wide, high].map((n) => n.toFixed(4)).join(" "));
    this.svg.classList.toggle("closer", this.zoom > 1);
  }

  /** Where on the stage a point of the screen is. */
  at({ clientX, clientY }) {
    const box = this.svg.getBoundingClientRect();
    return [this.centre[0] + (clientX - box.left - this.width / 2) * this.unit, this.centre[1] + (clientY - box.top - this.height / 2) * this.unit];
  }

  /** Closer or further, so that a point of the stage stays where it is; says whether anything changed. */
  zoomTo(zoom, keep = this.centre) {
    const next = Math.max(1, Math.min(CLOSEST, zoom));
    if (Math.abs(next - this.zoom) < 1e-6) return false;
    const by = this.zoom / next;
    this.centre = [0, 1].map((k) => keep[k] + (this.centre[k] - keep[k]) * by);
    this.zoom = next;
    return true;
  }

  /** Moves what is seen by screen pixels. */
  pan(dx, dy) { this.centre = [this.centre[0] - dx * this.unit, this.centre[1] - dy * this.unit]; }

  fit() { Object.assign(this, { zoom: 1, centre: null }); }

  /** A close look at one frame of the stage. */
  lookAt({ left, top, width, height, dx, dy }) {
    this.centre = [left + dx + width / 2, top + dy + height / 2];
    this.zoom = Math.max(1, Math.min(CLOSEST, Math.min(this.width / width, this.height / height) / this.whole));
  }

  /** Brings a point into view without changing how close one looks. */
  reveal(point) {
    const room = [0.4 * this.width * this.unit, 0.4 * this.height * this.unit];
    this.centre = this.centre.map((value, k) => Math.max(point[k] - room[k], Math.min(point[k] + room[k], value)));
  }
}

/** The middle of a window so long, kept over a length; in its middle where the window is longer. */
const held = (middle, window, length) => (window >= length ? length / 2 : Math.max(window / 2, Math.min(length - window / 2, middle)));
