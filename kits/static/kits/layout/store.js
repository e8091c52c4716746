// The state of the page: the layout with its history, and what is looked at and chosen.

export class Store extends EventTarget {
  constructor(layout, view) {
    super();
    this.layout = layout;
    this.undone = [];
    this.done = [];
    // piece, side, tool ("move", "line", "cover"), chosen, pending (a line begun), grid (mm or 0), zoom, marks
    this.view = view;
    this.preview = null;
  }

  /** The layout as it is shown: while something is dragged, as it would be. */
  get shown() { return this.preview || this.layout; }

  /** One step of work: kept in the history, saved. */
  change(layout, spoken = "") {
    this.preview = null;
    if (layout !== this.layout) {
      this.done.push(this.layout);
      this.undone = [];
      this.layout = layout;
      this.tell("change");
    }
    this.show({}, spoken);
  }

  /** Something is looked at or chosen; nothing to save. */
  show(view, spoken = "") {
    Object.assign(this.view, view);
    this.tell("show", spoken);
  }

  drag(layout) {
    this.preview = layout;
    this.tell("show", "");
  }

  undo(spoken) { this.#step(this.done, this.undone, spoken); }

  redo(spoken) { this.#step(this.undone, this.done, spoken); }

  #step(from, to, spoken) {
    if (!from.length) return;
    to.push(this.layout);
    this.layout = from.pop();
    this.preview = null;
    this.tell("change");
    this.show({ chosen: null, pending: null }, spoken);
  }

  tell(name, detail) { this.dispatchEvent(new CustomEvent(name, { detail })); }
}
