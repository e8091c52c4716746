// Two plans for one kit: both are shown, one is taken, and "undo" still reaches the other.

import { button, h } from "./dom.js";
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
    const card = (title, layout, words, mine) => h("section", {}, h("h3", {}, say(title)), this.still(layout, say(title)),
      button(say(words), words, () => close(mine), { class: "btn btn-primary" }));
    place.replaceChildren(h("h2", { tabindex: -1 }, say("two_plans")), h("p", {}, say("two_plans_why")),
      h("div", { class: "two" }, card("mine", store.layout, "keep_mine", true), card("theirs", theirs.layout, "take_theirs", false)));
    place.hidden = false;
    place.querySelector("h2").focus();
  }

  /** A drawing that only shows. */
  still(layout, name) {
    const stage = new Stage(this.circuit, layout, { width: 3, height: 2 });
    const view = { ...this.store.view, chosen: null, pending: null, tool: "look", marks: [] };
    const shown = el("svg", { class: "fabric small", viewBox: `0 0 ${stage.width} ${stage.height}`, role: "img", "aria-label": name });
    shown.append(...new Picture(this.circuit, this.say).draw(layout, view, stage, 0.3));
    for (const one of shown.querySelectorAll("[tabindex]")) for (const given of ["tabindex", "role", "aria-label", "data-key"]) one.removeAttribute(given);
    return shown;
  }
}
