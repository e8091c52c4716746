// What the check says, linked both ways with its marks on the drawing; and whether the plan can be handed in.

import { h } from "./dom.js";

export class Findings {
  /** `reveal(mark)` brings a mark into view. */
  constructor({ list, handIn, stops, store, say, reveal }) {
    Object.assign(this, { list, handIn, stops, store, say, reveal });
    list.addEventListener("click", (event) => {
      const found = event.target.closest("[data-finding]");
      if (found) this.show(found.dataset.finding);
    });
    this.decorate();
  }

  /** New findings from the server: our own template, escaped there. Says how many, if that has changed. */
  refresh({ findings_html: html, marks, stops }) {
    const focused = this.list.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const before = this.summary();
    this.list.innerHTML = html;
    this.store.view.marks = marks;
    this.stops = stops;
    if (!marks.some((mark) => mark.number === this.store.view.pointed)) this.store.view.pointed = null;
    this.decorate();
    if (focused) this.list.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    return this.summary() === before ? "" : this.summary();
  }

  summary() {
    const count = (part) => this.list.querySelectorAll(part).length;
    return this.say("check_says", { stops: count(".finding-stop:not(.finding-passed)"), looks: count(".finding-look"), to_do: count("ul .finding-note") });
  }

  /** The number of each finding becomes a button that shows its mark. */
  decorate() {
    const marked = new Set((this.store.view.marks || []).map((mark) => mark.number));
    for (const one of this.list.querySelectorAll("[data-finding]")) {
      const { finding } = one.dataset, number = one.querySelector(".finding-number");
      one.classList.toggle("pointed-at", this.store.view.pointed === finding);
      if (!number || !marked.has(finding)) continue;
      number.replaceWith(h("button", { type: "button", class: "finding-number", "data-key": `finding ${finding}`, "aria-label": this.say("show_finding", { number: finding }) }, finding));
    }
    this.hold();
  }

  /** From the list to the drawing: its mark pulses and is brought into view. */
  show(number) {
    const mark = this.store.view.marks.find((one) => one.number === number);
    this.point(number);
    if (mark) this.reveal(mark);
  }

  /** From the drawing to the list. */
  focus(number) {
    this.point(number);
    const one = this.list.querySelector(`[data-finding="${CSS.escape(number)}"]`);
    if (!one) return;
    one.scrollIntoView({ block: "nearest" });
    (one.querySelector("button") || one).focus({ preventScroll: true });
  }

  point(number) {
    this.store.show({ pointed: number });
    for (const one of this.list.querySelectorAll("[data-finding]")) one.classList.toggle("pointed-at", one.dataset.finding === number);
  }

  /** While something must be put right, the button says so and leads there; it is never simply dead. */
  hold() {
    if (!this.handIn) return;
    const { button, why } = this.handIn;
    button.setAttribute("aria-disabled", String(Boolean(this.stops)));
    why.textContent = this.stops ? this.say(this.stops === 1 ? "hand_in_one" : "hand_in_many", { count: this.stops }) : this.say("hand_in_ready");
  }

  /** Where to begin: the first thing that must be put right, or be done. */
  begin() {
    const first = this.list.querySelector(".finding-stop:not(.finding-passed), ul .finding-note");
    if (first) this.focus(first.dataset.finding);
  }
}
