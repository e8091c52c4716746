// The layout page: puts the modules together. All that is computed of a layout comes from the server.

import { Chosen } from "./chosen.js";
import { button, h, refill } from "./dom.js";
import { Lists } from "./lists.js";
import { Picture } from "./picture.js";
import { Circuit } from "./plan.js";
import { Pointer, chosenOf } from "./pointer.js";
import { Saving } from "./saving.js";
import { Sewing } from "./sewing.js";
import { Store } from "./store.js";
import { el } from "./svg.js";

const data = JSON.parse(document.getElementById("layout-data").textContent);
const page = document.getElementById("layout-page");
const of = (name) => page.querySelector(`[data-of-page="${name}"]`);
const say = (key, values = {}) => (data.words[key] || key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");

const circuit = new Circuit(data);
const store = new Store(data.layout, {
  piece: circuit.pieces[0].name, side: "outside", tool: "move", chosen: null, pending: null,
  grid: 2.5, zoom: 1, marks: data.marks, fixed: data.fixed, box: null,
});
const picture = new Picture(circuit, say);
const svg = el("svg", { class: "fabric", role: "group", tabindex: 0, "data-key": "fabric" });
const frame = of("frame");
frame.append(svg);
const sewing = new Sewing(circuit, store, say);
const chosen = new Chosen(circuit, store, sewing, say);
const lists = new Lists(circuit, store, say);
const unit = () => store.view.box.width / Math.max(1, svg.getBoundingClientRect().width);

// --- what is shown -----------------------------------------------------------------------------------------
function drawFabric() {
  const { view } = store;
  if (!store.preview || !view.box) view.box = picture.box(store.layout, view);
  const { left, top, width, height } = view.box;
  svg.setAttribute("viewBox", `${left} ${top} ${width} ${height}`);
  // Room is left for the tools above and the buttons below, so that both are in view with the cloth.
  const high = Math.max(260, innerHeight - 340);
  const most = Math.min(frame.clientWidth, (high * width) / height);
  svg.setAttribute("width", most * view.zoom);
  svg.setAttribute("height", (most * view.zoom * height) / width);
  svg.setAttribute("aria-label", say("fabric", { piece: view.piece, side: say(view.side) }));
  svg.setAttribute("class", `fabric tool-${view.tool}`);
  refill(svg, picture.draw(store.shown, view, width / (most * view.zoom)));
}

function press(name, on) { for (const one of page.querySelectorAll(`[data-set="${name}"]`)) one.setAttribute("aria-pressed", String(one.value === on)); }

function showAll(spoken) {
  drawFabric();
  if (store.preview) return;
  const { view } = store;
  press("tool", view.tool);
  press("side", view.side);
  press("piece", view.piece);
  press("grid", String(view.grid));
  of("undo").disabled = !store.done.length;
  of("redo").disabled = !store.undone.length;
  refill(of("chosen"), chosen.buttons());
  if (!view.fixed) {
    refill(of("tray"), lists.tray());
    refill(of("parts"), lists.parts());
    refill(of("lines"), lists.lines());
    refill(of("new-line"), lists.newLine());
    refill(of("extras"), lists.extras());
  }
  if (spoken) of("spoken").textContent = spoken;
}

store.addEventListener("show", (event) => showAll(event.detail));
addEventListener("resize", () => drawFabric());

// --- saving ------------------------------------------------------------------------------------------------
function tell(state, detail) {
  const place = of("saved");
  place.dataset.state = state;
  place.textContent = detail || say(`state_${state}`);
}

function arrived(answer) {
  if (of("version")) of("version").value = answer.version;
  of("findings").innerHTML = answer.findings_html; // our own template, escaped on the server
  store.show({ marks: answer.marks });
}

function still(layout) {
  const shown = el("svg", { class: "fabric small" });
  const view = { ...store.view, chosen: null, pending: null, tool: "look", marks: [] };
  view.box = picture.box(layout, view);
  shown.setAttribute("viewBox", `${view.box.left} ${view.box.top} ${view.box.width} ${view.box.height}`);
  shown.append(...picture.draw(layout, view, 0.01));
  shown.setAttribute("aria-hidden", "true");
  for (const one of shown.querySelectorAll("[tabindex]")) one.removeAttribute("tabindex");
  return shown;
}

/** Two plans for one kit: both are shown, one is taken, and "undo" still reaches the other. */
function conflict(theirs) {
  const place = of("conflict");
  const close = (layout, version, mine) => {
    place.hidden = true;
    if (layout !== store.layout) {
      store.change(layout);
    }
    saving.settle(version, mine);
    svg.focus();
  };
  const card = (title, layout, words, key, mine) => h("section", {}, h("h3", {}, title), still(layout), button(words, key, () => close(layout, theirs.version, mine), { class: "btn btn-primary" }));
  place.replaceChildren(h("h2", { tabindex: -1 }, say("two_plans")), h("p", {}, say("two_plans_why")),
    h("div", { class: "two" }, card(say("mine"), store.layout, say("keep_mine"), "mine", true), card(say("theirs"), theirs.layout, say("take_theirs"), "theirs", false)));
  place.hidden = false;
  place.querySelector("h2").focus();
}

const saving = new Saving({ url: data.save_url, token: page.querySelector("[name=csrfmiddlewaretoken]")?.value, kit: data.kit, version: data.version, store, tell, arrived, conflict });

// --- buttons and keys --------------------------------------------------------------------------------------
page.addEventListener("click", (event) => {
  const set = event.target.closest("[data-set]");
  if (set) store.show({ [set.dataset.set]: set.dataset.set === "grid" ? (store.view.grid ? 0 : 2.5) : set.value, pending: null });
  const listed = event.target.closest("[data-finding]");
  if (listed && of("findings").contains(listed)) showFinding(listed.dataset.finding);
});

function showFinding(number) {
  const mark = store.view.marks.find((one) => String(one.number) === number);
  if (mark && mark.piece !== store.view.piece && circuit.piece(mark.piece)) store.show({ piece: mark.piece });
  for (const one of page.querySelectorAll("[data-finding]")) one.classList.toggle("pointed-at", one.dataset.finding === number);
}

of("undo").addEventListener("click", () => store.undo(say("undone")));
of("redo").addEventListener("click", () => store.redo(say("redone")));
for (const [name, by] of [["closer", 1.25], ["further", 0.8]]) of(name).addEventListener("click", () => store.show({ zoom: Math.max(0.5, Math.min(6, store.view.zoom * by)) }));
of("fit").addEventListener("click", () => store.show({ zoom: 1 }));
of("retry").addEventListener("click", () => { saving.dirty = true; saving.now(); });

svg.addEventListener("focusin", (event) => {
  const data = event.target.dataset, found = chosenOf(data);
  const same = store.view.chosen && found && found.kind === store.view.chosen.kind && found.name === store.view.chosen.name;
  if (found && !same && store.view.tool === "move" && event.target.matches(":focus-visible")) store.show({ chosen: found });
});

svg.addEventListener("keydown", (event) => {
  if (chosen.key(event)) return event.preventDefault();
  const { end } = event.target.dataset;
  if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    if (end && !store.view.fixed) sewing.end(end);
    else if (chosenOf(event.target.dataset)) store.show({ chosen: chosenOf(event.target.dataset) });
  }
  if (event.key === "Escape") sewing.drop();
  if (event.key === "Backspace" && store.view.pending) { event.preventDefault(); sewing.backOne(); }
});

addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches("input, select, textarea")) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  if (key === "y" || event.shiftKey) store.redo(say("redone"));
  else store.undo(say("undone"));
});

of("hand-in")?.addEventListener("submit", async (event) => {
  if (!saving.dirty && !saving.busy) return;
  event.preventDefault();
  if (await saving.now()) event.target.submit();
});

// --- begin -------------------------------------------------------------------------------------------------
new Pointer(svg, store, sewing, unit);
tell("saved");
const left = data.fixed ? null : saving.left();
showAll("");
if (left && JSON.stringify(left.layout) !== JSON.stringify(data.layout)) {
  saving.version = left.version; // if the plan was changed elsewhere since, the server says so, and the page asks
  store.change(left.layout, say("found_again"));
}
page.dataset.ready = "yes";
