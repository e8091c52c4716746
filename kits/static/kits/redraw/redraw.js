// “I sewed it differently”: the line is drawn anew on the cloth, with the layout page's own modules.

import { Camera } from "../layout/camera.js";
import { refill } from "../layout/dom.js";
import { Hand } from "../layout/hand.js";
import { Picture } from "../layout/picture.js";
import { Circuit, ends } from "../layout/plan.js";
import { Pointer } from "../layout/pointer.js";
import { Sewing } from "../layout/sewing.js";
import { Stage } from "../layout/stage.js";
import { Store } from "../layout/store.js";
import { el } from "../layout/svg.js";
import { Steer } from "./steer.js";

const data = JSON.parse(document.getElementById("redraw-data").textContent);
const page = document.getElementById("redraw");
const of = (name) => page.querySelector(`[data-of-redraw="${name}"]`);
const say = (key, values = {}) => (data.words[key] || key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
const form = page.closest("form");

const circuit = new Circuit(data);
const store = new Store(data.layout, {
  piece: data.piece, side: "outside", tool: "line", chosen: { kind: "line", name: data.line }, pending: null, grid: 0, marks: data.marks, fixed: "", pointed: null,
});
const picture = new Picture(circuit, say);
const svg = el("svg", { class: "fabric tool-line", role: "group", tabindex: 0, "data-key": "fabric" });
const frame = of("frame");
frame.append(svg);
const camera = new Camera(svg);
const sewing = new Sewing(circuit, store, say);
const pointer = new Pointer(svg, store, sewing, camera);
const hand = new Hand(svg, camera, store, () => pointer.cancel());
const steer = new Steer(circuit, store, sewing, say);
const TALL = 0.7; // of the screen: the buttons below stay in view

let wide = 0;
function show(spoken) {
  wide = frame.clientWidth;
  if (!wide) return;
  const stage = new Stage(circuit, store.layout, { width: wide, height: TALL * innerHeight });
  camera.look(stage, wide, Math.min(TALL * innerHeight, (wide * stage.height) / stage.width));
  svg.setAttribute("aria-label", say("redraw_fabric", { side: say(store.view.side) }));
  refill(svg, picture.draw(store.layout, store.view, stage, camera.unit));
  // Only metal holes and meeting points are of use here: Tab goes to no other thing.
  for (const thing of svg.querySelectorAll("[data-part], [data-line], [data-cover], [data-join]")) thing.removeAttribute("tabindex");
  const { pending, side } = store.view;
  for (const name of ["back", "drop"]) of(name).disabled = !pending;
  for (const one of page.querySelectorAll("[data-side]")) one.setAttribute("aria-pressed", String(one.dataset.side === side));
  of("hint").textContent = say(pending ? "how_to_go_on" : form.elements.drawn.value ? "redraw_done" : "redraw_start");
  if (spoken) of("spoken").textContent = spoken;
  page.dataset.ready = "yes";
}

/** What was drawn takes the line's place, and goes into the form. */
function keep() {
  const lines = store.layout.lines, drawn = { ...lines[lines.length - 1], name: data.line };
  store.layout = { ...store.layout, lines: [...lines.slice(0, -1).filter((line) => line.name !== data.line), drawn] };
  store.view.chosen = { kind: "line", name: data.line };
  form.elements.start.value = drawn.from;
  form.elements.end.value = drawn.to;
  form.elements.drawn.value = drawn.via.map((point) => point.join(",")).join(" ") || "straight";
  form.elements.way.value = "drawn";
}

store.addEventListener("change", keep);
store.addEventListener("show", (event) => show(event.detail));
new ResizeObserver(() => { if (frame.clientWidth !== wide) show(""); }).observe(frame);

of("back").addEventListener("click", () => sewing.backOne());
of("drop").addEventListener("click", () => sewing.drop());
of("closer").addEventListener("click", () => { camera.zoomTo(camera.zoom * 1.4); store.show({}); });
of("further").addEventListener("click", () => { camera.zoomTo(camera.zoom / 1.4); store.show({}); });
for (const one of page.querySelectorAll("[data-side]")) one.addEventListener("click", () => store.show({ side: one.dataset.side }));
svg.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (steer.key(event) || hand.key(event)) event.preventDefault();
});

page.hidden = false;
form.querySelector("[data-drawn-way]").hidden = false;
if (!data.typed) {
  form.elements.way.value = "drawn";
  form.querySelector(".typed-way").open = false;
}
if (!data.seen) { // else that picture shows where something touches
  document.querySelector("[data-instead-of-drawing]").hidden = true;
  document.querySelector(".sewing-sides").classList.add("is-drawing");
}
show("");
