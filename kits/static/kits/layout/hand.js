// Two fingers, the wheel and keys: closer, further, and about.

const WHEEL = 0.0015;

export class Hand {
  /** `busy` is told when two fingers take over from one. */
  constructor(svg, camera, store, busy) {
    Object.assign(this, { svg, camera, store, busy, fingers: new Map() });
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.move(event));
    for (const name of ["pointerup", "pointercancel"]) svg.addEventListener(name, (event) => this.fingers.delete(event.pointerId));
    svg.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    // Else the browser would take two fingers for a zoom of the whole page.
    svg.addEventListener("touchstart", (event) => { if (event.touches.length > 1) event.preventDefault(); }, { passive: false });
  }

  down(event) {
    if (event.pointerType !== "touch") return;
    this.fingers.set(event.pointerId, event);
    this.svg.setPointerCapture(event.pointerId); // what it touched is drawn anew meanwhile
    if (this.fingers.size !== 2) return;
    this.busy();
    this.begun = this.spread();
    this.begun.zoom = this.camera.zoom;
  }

  spread() {
    const [a, b] = [...this.fingers.values()];
    const middle = { clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 };
    return { middle, far: Math.max(1, Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY)) };
  }

  move(event) {
    if (!this.fingers.has(event.pointerId)) return;
    this.fingers.set(event.pointerId, event);
    if (this.fingers.size !== 2) return;
    const { begun, camera } = this, now = this.spread();
    camera.zoomTo((begun.zoom * now.far) / begun.far, camera.at(begun.middle));
    camera.unit = 1 / (camera.whole * camera.zoom);
    camera.pan(now.middle.clientX - begun.middle.clientX, now.middle.clientY - begun.middle.clientY);
    begun.middle = now.middle;
    this.store.show({});
  }

  /** The wheel looks closer and further; held with Shift it moves sideways. At its furthest the page scrolls on. */
  wheel(event) {
    const { camera } = this;
    if (event.shiftKey && camera.zoom > 1) camera.pan(-(event.deltaX || event.deltaY), 0);
    else if (!camera.zoomTo(camera.zoom * Math.exp(-event.deltaY * WHEEL * (event.deltaMode ? 16 : 1)), camera.at(event))) return;
    event.preventDefault();
    this.store.show({});
  }

  /** Says whether a key was meant for the view: + and − and 0, and arrows where nothing is chosen. */
  key(event) {
    const { camera } = this, step = 60;
    const about = { ArrowLeft: [step, 0], ArrowRight: [-step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
    if (event.key === "+" || event.key === "=") camera.zoomTo(camera.zoom * 1.25);
    else if (event.key === "-") camera.zoomTo(camera.zoom * 0.8);
    else if (event.key === "0") camera.fit();
    else if (about && camera.zoom > 1) camera.pan(...about);
    else return false;
    this.store.show({});
    return true;
  }
}
