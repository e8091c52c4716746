// The layout page: puts the modules together. All that is computed of a layout comes from the server.

import { Camera } from "./camera.js";
import { Chosen } from "./chosen.js";
import { Conflict } from "./conflict.js";
import { refill } from "./dom.js";
import { Findings } from "./findings.js";
import { Hand } from "./hand.js";
import { Kept, sameLayout } from "./kept.js";
import { askBeforeLeaving } from "./leaving.js";
import { Lists } from "./lists.js";
import { keepPage } from "./offline.js";
import { Picture } from "./picture.js";
import { Circuit } from "./plan.js";
import { Pointer, chosenOf } from "./pointer.js";
import { Saving } from "./saving.js";
import { Sewing } from "./sewing.js";
import { Stage } from "./stage.js";
import { Store } from "./store.js";
import { el } from "./svg.js";
import { Tray } from "./tray.js";

const data = JSON.parse(document.getElementById("layout-data").textContent);
const page = document.getElementById("layout-page");
const of = (name) => page.querySelector(`[data-of-page="${name}"]`);
const say = (key, values = {}) => (data.words[key] || key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
const speak = (words) => { if (words) of("spoken").textContent = words; };

const circuit = new Circuit(data);
const store = new Store(data.layout, {
  piece: circuit.pieces[0].name, side: "outside", tool: "move", chosen: null, pending: null,
  grid: 2.5, marks: data.marks, fixed: data.fixed, pointed: null,
});
const picture = new Picture(circuit, say);
const svg = el("svg", { class: "fabric", role: "group", tabindex: 0, "data-key": "fabric" });
const frame = of("frame");
frame.append(svg);
const camera = new Camera(svg);
const sewing = new Sewing(circuit, store, say);
const chosen = new Chosen(circuit, store, sewing, say);
const lists = new Lists(circuit, store, say);
const tray = data.fixed ? null : new Tray(of("tray"), circuit, store, camera, say);
lists.tray = tray;

// --- what is shown -----------------------------------------------------------------------------------------
let wide = 0; // what the drawing was last fitted to, in screen pixels
function drawFabric() {
  const { view } = store;
  wide = frame.clientWidth;
  if (!wide) return; // not laid out yet: it is drawn once it is
  // Room is left for the tools above and the buttons below, so that both are in view with the cloth.
  const room = { width: wide, height: Math.max(260, innerHeight - 340) };
  // While something is dragged the cloth stays where it is.
  const stage = store.preview && camera.stage ? camera.stage : new Stage(circuit, store.layout, room);
  camera.look(stage, room.width, Math.min(room.height, (room.width * stage.height) / stage.width));
  svg.setAttribute("aria-label", say("fabric", { pieces: circuit.pieces.map((piece) => piece.name).join(", "), side: say(view.side) }));
  for (const tool of ["move", "line", "cover"]) svg.classList.toggle(`tool-${tool}`, tool === view.tool);
  refill(svg, picture.draw(store.shown, view, stage, camera.unit));
  page.dataset.ready = "yes";
}

function press(name, on) { for (const one of page.querySelectorAll(`[data-set="${name}"]`)) one.setAttribute("aria-pressed", String(one.value === on)); }

function showAll(spoken) {
  drawFabric();
  if (store.preview) return;
  const { view } = store;
  press("tool", view.tool);
  press("side", view.side);
  press("grid", String(view.grid));
  refill(of("chosen"), chosen.buttons());
  if (!view.fixed) {
    of("undo").disabled = !store.done.length;
    of("redo").disabled = !store.undone.length;
    tray.show();
    refill(of("parts"), lists.parts());
    refill(of("lines"), lists.lines());
    refill(of("new-line"), lists.newLine());
    refill(of("extras"), lists.extras());
  }
  speak(spoken);
}

store.addEventListener("show", (event) => showAll(event.detail));
addEventListener("resize", () => drawFabric());
// A scroll bar that comes, or styles that come late, change the room without a word from the window.
new ResizeObserver(() => { if (frame.clientWidth !== wide) drawFabric(); }).observe(frame);

// --- saving ------------------------------------------------------------------------------------------------
const QUIET = ["waiting", "saving"];
function tell(state, detail) {
  const place = of("saved"), before = place.dataset.state, words = detail || say(`state_${state}`);
  if (before === state && place.textContent === words) return;
  place.dataset.state = state;
  place.textContent = words;
  // "Saved" after each change would drown what was done; it is said once the network is back.
  if (!QUIET.includes(state) && (state !== "saved" || place.dataset.said)) {
    speak(words);
    place.dataset.said = state === "saved" ? "" : "yes";
  }
}

function arrived(answer) {
  if (of("version")) of("version").value = answer.version;
  // In a place of its own, so that it does not take the word from what was just done.
  const news = findings.refresh(answer);
  if (news) of("news").textContent = news;
  drawFabric(); // and no more: somebody may be typing in the lists by now
}

const handIn = of("hand-in");
const findings = new Findings({
  list: of("findings"), handIn: handIn && { button: handIn.querySelector("button"), why: of("hand-in-why") }, stops: data.stops, store, say,
  reveal(mark) {
    camera.reveal(camera.stage.at(mark.piece, [mark.x, mark.y], store.view.side));
    store.show({});
    if (svg.getBoundingClientRect().top < 0 || svg.getBoundingClientRect().bottom > innerHeight) svg.scrollIntoView({ block: "center" });
  },
});
const conflict = new Conflict(of("conflict"), circuit, store, say);
const kept = new Kept(data.kit);
const saving = new Saving({
  url: data.save_url, token: page.querySelector("[name=csrfmiddlewaretoken]")?.value, kept, version: data.version, store, tell, arrived,
  conflict: (theirs) => conflict.ask(theirs, (version, mine) => saving.settle(version, mine)),
});

// --- buttons and keys --------------------------------------------------------------------------------------
const hand = new Hand(svg, camera, store, () => pointer.cancel());
const pointer = new Pointer(svg, store, sewing, camera);
sewing.onFinding = (number) => findings.focus(number);

/** Another tool drops a line that is begun; another side, or no grid, does not. */
function choose(name, value) {
  if (name === "grid") store.show({ grid: store.view.grid ? 0 : 2.5 });
  else if (name === "tool") store.show({ tool: value, pending: null }, say({ move: "choose_something", line: "start_at_hole", cover: "tap_for_cover" }[value]));
  else store.show({ [name]: value });
}

page.addEventListener("click", (event) => {
  const set = event.target.closest("[data-set]");
  if (set) choose(set.dataset.set, set.value);
  const closer = event.target.closest("[data-look-at]");
  if (closer) { camera.lookAt(camera.stage.frame(closer.dataset.lookAt)); store.show({ piece: closer.dataset.lookAt }); }
});
of("undo")?.addEventListener("click", () => store.undo(say("undone")));
of("redo")?.addEventListener("click", () => store.redo(say("redone")));
of("closer").addEventListener("click", () => { camera.zoomTo(camera.zoom * 1.4); store.show({}); });
of("further").addEventListener("click", () => { camera.zoomTo(camera.zoom / 1.4); store.show({}); });
of("fit").addEventListener("click", () => { camera.fit(); store.show({}); });
of("retry").addEventListener("click", () => { saving.dirty = true; saving.now(); });

svg.addEventListener("focusin", (event) => {
  const found = chosenOf(event.target.dataset), now = store.view.chosen;
  const same = now && found && found.kind === now.kind && found.name === now.name && found.bend === now.bend;
  if (found && !same && store.view.tool === "move" && event.target.matches(":focus-visible")) store.show({ chosen: found });
});

svg.addEventListener("keydown", (event) => {
  const { end, finding } = event.target.dataset, press = event.key === "Enter" || event.key === " ";
  if (chosen.key(event) || (!event.ctrlKey && !event.metaKey && hand.key(event))) return event.preventDefault();
  if (press) {
    event.preventDefault();
    if (finding) findings.focus(finding);
    else if (end && !store.view.fixed) sewing.end(end);
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

handIn?.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (!(await saving.now())) {
    of("hand-in-why").textContent = say("hand_in_unsent");
    speak(say("hand_in_unsent"));
  } else if (findings.stops) findings.begin();
  else handIn.submit();
});

askBeforeLeaving(document.querySelector("[data-leave]"), saving, say("leave_unkept"));

// --- begin -------------------------------------------------------------------------------------------------
function begin() {
  tell("saved");
  const newer = kept.tookSince(data.made); // this page came from the device's own store
  if (newer) { store.layout = newer.layout; saving.version = newer.version; }
  const left = data.fixed ? null : kept.left();
  showAll("");
  if (!left) return;
  if (sameLayout(left.layout, store.layout)) return kept.forget();
  saving.version = left.version; // if the plan was changed elsewhere since, the server says so, and the page asks
  store.change(left.layout, say("found_again"));
}
begin();
of("holds").textContent = say("holds_while_open");
keepPage(data.worker_url, location.pathname).then((holds) => { if (holds) of("holds").textContent = say("holds_without_network"); });
