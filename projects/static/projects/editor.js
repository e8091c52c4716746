// The editor's small helps; every edit is an ordinary form, so all of it works without this file.

// A refusal and a conflict are pages, too: show them where the edit was made.
document.addEventListener("htmx:beforeSwap", (event) => {
  if ([400, 409].includes(event.detail.xhr.status)) {
    event.detail.shouldSwap = true;
    event.detail.isError = false;
  }
});

// --- The circuit: two taps are one edit ---------------------------------------------------------------------
let first = null;

function choose(target) {
  first = target;
  for (const one of document.querySelectorAll("[data-terminal]")) one.setAttribute("aria-pressed", String(one === target));
  const said = document.getElementById("tapped");
  if (said) said.textContent = target ? said.dataset.first.replace("{terminal}", target.dataset.terminal) : said.dataset.none;
}

function tap(target) {
  if (first === null) return choose(target);
  if (first === target) return choose(null);
  const form = document.querySelector("form[data-edit=join]");
  form.elements.first.value = first.dataset.terminal;
  form.elements.second.value = target.dataset.terminal;
  again = target.dataset.terminal;
  first = null;
  form.requestSubmit();
}

let again = null;
document.addEventListener("click", (event) => {
  const target = event.target.closest("[data-terminal]");
  if (target) tap(target);
});
document.addEventListener("keydown", (event) => {
  const target = event.target.closest && event.target.closest("[data-terminal]");
  if (target && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    tap(target);
  }
  if (event.key === "Escape" && first) choose(null);
});
// The drawing is new after each edit: what was scrolled to and what had the focus stays.
let scrolled = null;
document.addEventListener("htmx:beforeRequest", () => {
  const drawing = document.getElementById("circuit-drawing");
  scrolled = drawing && [drawing.scrollLeft, drawing.scrollTop];
});
document.addEventListener("htmx:afterSettle", (event) => {
  const drawing = document.getElementById("circuit-drawing");
  // Something else on the page may settle, too, while an edit is under way.
  if (!drawing || !event.target.contains(drawing)) return dress();
  first = null;
  if (scrolled) [drawing.scrollLeft, drawing.scrollTop] = scrolled;
  dress();
  if (again) {
    const target = document.querySelector(`[data-terminal="${CSS.escape(again)}"]`);
    if (target) target.focus({ preventScroll: true });
    again = null;
  }
});

// --- Shapes and kinds: show only what is asked for ----------------------------------------------------------
const SHAPE_FIELDS = {
  keep: [], rectangle: ["width", "height"], rounded: ["width", "height", "radius"], circle: ["diameter"], polygon: ["points"], svg: ["file"],
};

function showShape(form) {
  const shape = form.querySelector("[name=shape]");
  if (!shape) return;
  for (const name of ["width", "height", "radius", "diameter", "points", "file"]) {
    const field = form.querySelector(`[data-field=${name}]`);
    if (field) field.hidden = !(SHAPE_FIELDS[shape.value] || []).includes(name);
  }
}

function showKind() {
  const kind = document.querySelector("#part-type-form [name=kind]");
  if (kind) for (const group of document.querySelectorAll("[data-kind]")) group.hidden = group.dataset.kind !== kind.value;
}

document.addEventListener("change", (event) => {
  if (event.target.name === "shape") showShape(event.target.closest(".shape-form"));
  if (event.target.name === "kind") showKind();
});

// --- One more row of terminals ------------------------------------------------------------------------------
document.addEventListener("click", (event) => {
  if (event.target.id !== "more-terminals") return;
  const total = document.querySelector("[name=terminals-TOTAL_FORMS]");
  const row = document.getElementById("terminal-row").content.cloneNode(true);
  for (const one of row.querySelectorAll("*")) {
    for (const attribute of ["name", "id", "for"]) {
      const value = one.getAttribute(attribute);
      if (value) one.setAttribute(attribute, value.replace("__prefix__", total.value));
    }
  }
  total.value = Number(total.value) + 1;
  document.getElementById("terminal-rows").append(row);
  document.querySelector("#terminal-rows tr:last-child input").focus();
});

// --- An outline drawn point by point ------------------------------------------------------------------------
const SVG = "http://www.w3.org/2000/svg";

function node(tag, attributes) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  return element;
}

const numbers = (area) => area.value.split("\n").map((line) => line.trim().split(/[\s,;]+/).map(Number))
  .filter((pair) => pair.length === 2 && pair.every(Number.isFinite));

function board(area) {
  const svg = node("svg", { class: "outline-board", viewBox: "-10 -10 320 320", "aria-hidden": "true" });
  let dragged = null;
  const at = (event) => {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [Math.round(point.x), Math.round(point.y)];
  };
  const put = (points) => {
    area.value = points.map(([x, y]) => `${x}, ${y}`).join("\n");
    draw();
  };
  function draw() {
    const points = numbers(area);
    const reach = Math.max(300, ...points.flat()) + 10;
    svg.setAttribute("viewBox", `-10 -10 ${reach + 10} ${reach + 10}`);
    const grid = [];
    for (let x = 0; x <= reach; x += 10) grid.push(`M${x} 0V${reach}M0 ${x}H${reach}`);
    svg.replaceChildren(
      node("path", { d: grid.join(""), stroke: "#e2d4ba", "stroke-width": 0.4, fill: "none" }),
      node("path", { d: points.length ? `M${points.map((p) => p.join(" ")).join("L")}Z` : "", stroke: "#8a6a45", "stroke-width": 1, fill: "#f8efdd" }),
      ...points.map(([x, y], i) => node("circle", { cx: x, cy: y, r: reach / 75, fill: "#2b2320", class: "corner", "data-corner": i })),
    );
  }
  svg.addEventListener("pointerdown", (event) => {
    const corner = event.target.dataset && event.target.dataset.corner;
    if (corner === undefined) put([...numbers(area), at(event)]);
    dragged = corner === undefined ? numbers(area).length - 1 : Number(corner);
    svg.setPointerCapture(event.pointerId);
  });
  svg.addEventListener("pointermove", (event) => {
    if (dragged === null) return;
    const points = numbers(area);
    points[dragged] = at(event);
    put(points);
  });
  svg.addEventListener("pointerup", () => { dragged = null; });
  area.addEventListener("input", draw);
  draw();
  return svg;
}

function dress() {
  for (const form of document.querySelectorAll(".shape-form")) showShape(form);
  showKind();
  const more = document.getElementById("more-terminals");
  if (more) more.hidden = false;
  for (const area of document.querySelectorAll(".edit-form textarea[name=points]:not([data-board])")) {
    area.dataset.board = "yes";
    area.after(board(area));
  }
}
dress();
