// Two plans for one kit: both are shown, one is taken, and "undo" still reaches the other.

import { button, h } from "./dom.js";
import { sameLayout } from "./kept.js";
import { keyOf } from "./plan.js";
import { Picture } from "./picture.js";
import { Stage } from "./stage.js";
import { el } from "./svg.js";

export class Conflict {
  constructor(place, circuit, store, say) { Object.assign(this, { place, circuit, store, say }); }

  /** Shows both; `settle(version, mine)` is told the choice. */
  ask(theirs, settle) {
    const { place, store, say } = this;
    const close = (mine) => {
      place.hidden = true;
      if (!mine) store.change(theirs.layout);
      settle(theirs.version, mine);
      document.querySelector("svg.fabric").focus();
    };
    const other = differing(store.layout, theirs.layout), names = [...other.keys()].map((name) => name.replace("cover", say("cover"))).join(", ");
    const card = (title, layout, words, mine) => h("section", {}, h("h3", {}, say(title)), this.still(layout, say(title), other),
      button(say(words), words, () => close(mine), { class: "btn btn-primary" }));
    place.replaceChildren(h("h2", { tabindex: -1 }, say("two_plans")), h("p", {}, say("two_plans_why")), h("p", {}, say("two_plans_differ", { names })),
      h("div", { class: "two" }, card("mine", store.layout, "keep_mine", true), card("theirs", theirs.layout, "take_theirs", false)));
    place.hidden = false;
    place.querySelector("h2").focus();
  }

  /** A drawing that only shows; what is not the same in the other plan is marked. */
  still(layout, name, other) {
    const stage = new Stage(this.circuit, layout, { width: 3, height: 2 });
    const view = { ...this.store.view, chosen: null, pending: null, tool: "look", marks: [] };
    const shown = el("svg", { class: "fabric small", viewBox: `0 0 ${stage.width} ${stage.height}`, role: "img", "aria-label": name });
    shown.append(...new Picture(this.circuit, this.say).draw(layout, view, stage, 0.3));
    for (const marked of other.values()) for (const one of shown.querySelectorAll(marked)) one.classList.add("chosen");
    for (const one of shown.querySelectorAll("[tabindex]")) for (const given of ["tabindex", "role", "aria-label", "data-key"]) one.removeAttribute(given);
    return shown;
  }
}

/** What is not the same in two layouts: a selector of it in a drawing, by its name. */
function differing(a, b) {
  const kinds = [["places", "part", keyOf], ["lines", "line", (line) => line.name], ["joins", "join", (join) => join.name]];
  const found = new Map();
  for (const [things, kind, nameOf] of kinds) {
    const [here, there] = [a, b].map((layout) => new Map(layout[things].map((one) => [nameOf(one), one])));
    for (const name of new Set([...here.keys(), ...there.keys()])) {
      if (!here.has(name) || !there.has(name) || !sameLayout(here.get(name), there.get(name))) found.set(name, `[data-${kind}="${CSS.escape(name)}"]`);
    }
  }
  for (let i = 0; i < Math.max(a.covers.length, b.covers.length); i++) {
    if (!a.covers[i] || !b.covers[i] || !sameLayout(a.covers[i], b.covers[i])) found.set(`cover ${i + 1}`, `[data-cover="${i}"]`);
  }
  return found;
}
