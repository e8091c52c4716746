// Parts, lines, meeting points and covers as lists: all that the drawing can do, by keyboard and by number.

import * as edit from "./edits.js";
import { button, choice, h, number } from "./dom.js";
import { tidy } from "./geometry.js";
import { connectionsOfLines, ends, items } from "./plan.js";

export class Lists {
  constructor(circuit, store, say) { Object.assign(this, { circuit, store, say }); }

  change(layout, spoken) { this.store.change(layout, spoken); }

  open(kind, name) {
    const { chosen } = this.store.view;
    return Boolean(chosen && chosen.kind === kind && chosen.name === name);
  }

  row(kind, name, title, ...fields) {
    const open = this.open(kind, name);
    const toggle = h("button", { type: "button", class: "row-title", "data-key": `row ${kind} ${name}`, "aria-expanded": String(open),
      onclick: () => this.store.show({ chosen: open ? null : { kind, name }, ...this.pieceOf(kind, name) }) }, ...[title].flat());
    return h("li", { class: open ? "row-open" : "" }, toggle, open ? h("div", { class: "row-fields" }, ...fields) : null);
  }

  /** The piece on which a thing lies, so that choosing it in a list shows it. */
  pieceOf(kind, name) {
    const { layout } = this.store;
    const thing = kind === "part" ? layout.places.find((place) => (place.terminal ? `${place.ref}.${place.terminal}` : place.ref) === name)
      : kind === "cover" ? layout.covers[name] : layout[kind === "line" ? "lines" : "joins"].find((one) => one.name === name);
    return thing && this.circuit.piece(thing.piece) ? { piece: thing.piece } : {};
  }

  pieces(key, value, set) {
    if (this.circuit.pieces.length < 2) return null;
    return choice(this.say("piece"), key, this.circuit.pieces.map((piece) => [piece.name, piece.name]), value, set);
  }

  parts() {
    return items(this.circuit, this.store.layout).map(({ key, ref, terminal, place }) => {
      const title = [h("b", {}, terminal ? this.circuit.spoken(key) : ref), h("span", {}, this.circuit.type(ref).name)];
      if (!place) return h("li", {}, h("div", { class: "row-title" }, ...title), button(this.say("put_on"), `put ${key}`, () => this.tray.tapped({ key, ref, terminal }), { "aria-label": this.say("put_on_named", { ref: terminal ? this.circuit.spoken(key) : ref, name: this.circuit.type(ref).name }) }));
      const set = (change) => this.change(edit.movePlace(this.store.layout, key, () => change));
      return this.row("part", key, title,
        number(this.say("from_left"), `x ${key}`, tidy(place.x), (x) => set({ x })),
        number(this.say("from_top"), `y ${key}`, tidy(place.y), (y) => set({ y })),
        terminal ? null : number(this.say("turn"), `turn ${key}`, tidy(place.turn), (turn) => set({ turn })),
        terminal ? null : choice(this.say("side"), `side ${key}`, [["outside", this.say("outside")], ["inside", this.say("inside")]], place.side, (side) => set({ side })),
        this.pieces(`piece ${key}`, place.piece, (piece) => { this.store.view.piece = piece; set({ piece }); }),
        button(this.say("take_off"), `off ${key}`, () => this.change(edit.takeOff(this.store.layout, key), this.say("taken_off", { ref: key }))));
    });
  }

  lines() {
    const labels = connectionsOfLines(this.circuit, this.store.layout);
    return this.store.layout.lines.map((line) => {
      const { name } = line, found = labels[name];
      const label = found.length > 1 ? "?" : found.length ? found[0].label : "";
      const title = [h("b", {}, name), h("span", {}, this.say("from_to", { from: this.circuit.spoken(line.from), to: this.circuit.spoken(line.to) })), h("span", { class: "row-label" }, label)];
      const bend = (at, i) => h("div", { class: "row-fields" },
        number(this.say("bend_left", { number: i + 1 }), `bx ${name} ${i}`, tidy(at[0]), (x) => this.change(edit.moveBend(this.store.layout, name, i, [x, at[1]]))),
        number(this.say("bend_top", { number: i + 1 }), `by ${name} ${i}`, tidy(at[1]), (y) => this.change(edit.moveBend(this.store.layout, name, i, [at[0], y]))),
        button(this.say("remove_bend"), `bo ${name} ${i}`, () => this.change(edit.removeBend(this.store.layout, name, i), this.say("bend_removed"))));
      return this.row("line", name, title, ...line.via.map(bend),
        button(this.say("add_bend"), `ba ${name}`, () => this.bend(line)),
        button(this.say("remove_line"), `lo ${name}`, () => this.change(edit.removeLine(this.store.layout, name), this.say("line_removed", { name }))));
    });
  }

  /** A new bend halfway along the last stretch. */
  bend(line) {
    const found = ends(this.circuit, this.store.layout);
    const last = line.via[line.via.length - 1] || (found[line.from] || { at: [0, 0] }).at;
    const to = (found[line.to] || { at: [last[0] + 20, last[1]] }).at;
    const at = [Math.round((last[0] + to[0]) / 2), Math.round((last[1] + to[1]) / 2)];
    this.change(edit.addBend(this.store.layout, line.name, line.via.length, at), this.say("bend_added"));
  }

  newLine() {
    const found = ends(this.circuit, this.store.layout);
    const options = Object.entries(found).filter(([, spot]) => spot.piece === this.store.view.piece).map(([end]) => [end, this.circuit.spoken(end)]);
    if (options.length < 2) return [h("p", { class: "soft" }, this.say("line_needs_parts"))];
    const from = choice(this.say("from"), "new from", options, this.from, (value) => { this.from = value; });
    const to = choice(this.say("to"), "new to", options, this.to || options[1][0], (value) => { this.to = value; });
    const value = (field) => field.querySelector("select").value;
    return [from, to, button(this.say("add_line"), "new line", () => {
      if (value(from) === value(to)) return this.store.show({}, this.say("two_ends"));
      const layout = edit.addLine(this.store.layout, { piece: this.store.view.piece, from: value(from), to: value(to), via: [] });
      this.store.view.chosen = { kind: "line", name: layout.lines[layout.lines.length - 1].name };
      this.change(layout, this.say("line_to", { end: this.circuit.spoken(value(to)) }));
    })];
  }

  extras() {
    const { layout, view } = this.store;
    const joins = layout.joins.map((join) => this.row("join", join.name, [h("b", {}, join.name), h("span", {}, this.say("join"))],
      number(this.say("from_left"), `jx ${join.name}`, tidy(join.x), (x) => this.change(edit.moveJoin(this.store.layout, join.name, [x, join.y]))),
      number(this.say("from_top"), `jy ${join.name}`, tidy(join.y), (y) => this.change(edit.moveJoin(this.store.layout, join.name, [join.x, y]))),
      button(this.say("remove_join"), `jo ${join.name}`, () => this.change(edit.removeJoin(this.store.layout, join.name), this.say("join_removed", { name: join.name })))));
    const covers = layout.covers.map((cover, i) => {
      const set = (change) => this.change(edit.changeCover(this.store.layout, i, change));
      return this.row("cover", i, [h("b", {}, `${this.say("cover")} ${i + 1}`), h("span", {}, cover.piece)],
        number(this.say("from_left"), `cx ${i}`, tidy(cover.x), (x) => set({ x })), number(this.say("from_top"), `cy ${i}`, tidy(cover.y), (y) => set({ y })),
        number(this.say("cover_size"), `cr ${i}`, tidy(cover.radius), (radius) => set({ radius }), { min: 1, max: 100 }),
        button(this.say("remove_cover"), `co ${i}`, () => { this.store.view.chosen = null; this.change(edit.removeCover(this.store.layout, i), this.say("cover_removed")); }));
    });
    const middle = this.tray.freeSpot(6);
    const add = h("li", { class: "row-adders" },
      button(this.say("add_join"), "add join", () => { const made = edit.addJoin(layout, view.piece, middle); view.chosen = { kind: "join", name: made.name }; this.change(made.layout, this.say("met", { name: made.name })); }),
      button(this.say("add_cover"), "add cover", () => { view.chosen = { kind: "cover", name: layout.covers.length }; this.change(edit.addCover(layout, view.piece, middle), this.say("cover_added")); }));
    return [...joins, ...covers, add];
  }
}
