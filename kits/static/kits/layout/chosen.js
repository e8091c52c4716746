// The row of buttons for what is chosen on the drawing, and the arrow keys.

import * as edit from "./edits.js";
import { button, h } from "./dom.js";
import { tidy } from "./geometry.js";
import { keyOf } from "./plan.js";

const TURNS = { "[": -15, "]": 15, "{": -90, "}": 90 };
const at = (thing) => [thing.x, thing.y];
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export class Chosen {
  constructor(circuit, store, sewing, say) { Object.assign(this, { circuit, store, sewing, say }); }

  buttons() {
    const { chosen, pending, tool, fixed } = this.store.view;
    if (fixed) return [h("p", {}, fixed)];
    if (tool === "line" && pending) return this.forPending(pending);
    if (tool === "line") return [h("p", {}, this.say("start_at_hole"))];
    if (tool === "cover") return [h("p", {}, this.say("tap_for_cover"))];
    if (!chosen) return [h("p", {}, this.say("choose_something"))];
    return { part: () => this.forPart(chosen.name), line: () => this.forLine(chosen), join: () => this.forJoin(chosen.name), cover: () => this.forCover(chosen.name) }[chosen.kind]();
  }

  forPending(pending) {
    return [h("p", {}, h("b", {}, this.say("line_from", { end: this.circuit.spoken(pending.from) })), " ", this.say("how_to_go_on")),
      button(this.say("meeting_point"), "meet", () => this.sewing.meet()),
      button(this.say("back_one"), "back one", () => this.sewing.backOne()),
      button(this.say("drop_line"), "drop", () => this.sewing.drop())];
  }

  forPart(key) {
    const place = this.store.layout.places.find((one) => keyOf(one) === key);
    if (!place) return [h("p", {}, this.say("not_on_yet", { ref: key }))];
    const off = button(this.say("take_off"), "chosen off", () => this.out({ kind: "part", name: key }));
    const name = h("p", {}, h("b", {}, key), ` ${this.circuit.type(place.ref).name}`);
    if (place.terminal) return [name, off];
    const turn = (words, degrees) => button(words, `turn ${degrees}`, () => this.turn(key, degrees), { "aria-label": this.say(degrees < 0 ? "turn_left_by" : "turn_right_by", { degrees: Math.abs(degrees) }) });
    const other = place.side === "outside" ? "inside" : "outside";
    return [name, turn("↺ 90°", -90), turn("↺ 15°", -15), turn("15° ↻", 15), turn("90° ↻", 90),
      button(this.say(`put_${other}`), "side", () => this.store.change(edit.movePlace(this.store.layout, key, () => ({ side: other })), this.say("now_on", { ref: key, side: this.say(other) }))), off];
  }

  /** Turns as seen: on the inside the drawing is mirrored, so a clockwise turn there is the other way round. */
  turn(key, degrees) {
    const by = this.store.view.side === "inside" ? -degrees : degrees;
    const layout = edit.movePlace(this.store.layout, key, (place) => ({ turn: (((place.turn + by) % 360) + 360) % 360 }));
    const { turn } = layout.places.find((place) => keyOf(place) === key);
    this.store.change(layout, this.say("turned", { ref: key, degrees: turn }));
  }

  forLine({ name, bend }) {
    const line = this.store.layout.lines.find((one) => one.name === name);
    if (!line) return [];
    const whole = `${this.circuit.spoken(line.from)} → ${this.circuit.spoken(line.to)}`;
    const unbend = bend !== undefined && bend < line.via.length
      ? button(this.say("remove_bend"), "unbend", () => this.out({ kind: "line", name, bend }))
      : null;
    return [h("p", {}, h("b", {}, name), ` ${whole}. `, this.say("pull_to_bend")), ...(unbend ? [unbend] : []),
      button(this.say("remove_line"), "unline", () => this.out({ kind: "line", name }))];
  }

  forJoin(name) {
    return [h("p", {}, h("b", {}, name), ` ${this.say("join")}`), button(this.say("remove_join"), "unjoin", () => this.out({ kind: "join", name }))];
  }

  forCover(index) {
    const cover = this.store.layout.covers[index];
    if (!cover) return [];
    const size = (by) => this.store.change(edit.changeCover(this.store.layout, index, { radius: Math.max(2, cover.radius + by) }));
    return [h("p", {}, h("b", {}, this.say("cover")), ` ${cover.radius} mm`), button(this.say("smaller"), "cover less", () => size(-1)), button(this.say("larger"), "cover more", () => size(1)),
      button(this.say("remove_cover"), "uncover", () => this.out({ kind: "cover", name: index }))];
  }

  /**
   * Arrow keys move what is chosen by 1 mm as seen, with Shift by 10; [ and ] turn a part by 15 degrees, { and } by 90;
   * Delete takes it out. Says whether the key meant anything.
   */
  key(event) {
    const { chosen, side, fixed } = this.store.view, arrow = ARROWS[event.key];
    if (fixed || !chosen || event.ctrlKey || event.metaKey || event.altKey) return false;
    if (TURNS[event.key] && chosen.kind === "part" && this.turns(chosen.name)) { this.turn(chosen.name, TURNS[event.key]); return true; }
    if (event.key === "Delete") return this.out(chosen);
    if (!arrow) return false;
    const far = event.shiftKey ? 10 : 1;
    const layout = this.nudged(chosen, arrow[0] * far * (side === "inside" ? -1 : 1), arrow[1] * far);
    if (!layout) return false;
    this.store.change(layout, this.moved(chosen, layout));
    return true;
  }

  moved(chosen, layout) {
    const [name, [x, y]] = {
      part: () => [chosen.name, at(layout.places.find((one) => keyOf(one) === chosen.name))],
      join: () => [chosen.name, at(layout.joins.find((one) => one.name === chosen.name))],
      cover: () => [this.say("cover"), at(layout.covers[chosen.name])],
      line: () => [this.say("bend_of", { number: chosen.bend + 1, name: chosen.name }), layout.lines.find((one) => one.name === chosen.name).via[chosen.bend]],
    }[chosen.kind]();
    return this.say("moved_to", { name, x: tidy(x), y: tidy(y) });
  }

  /** Whether a part is on the cloth and has a body to turn. */
  turns(key) { return this.store.layout.places.some((place) => keyOf(place) === key && !place.terminal); }

  /** Takes what is chosen out; of a line with a chosen bend, that bend. */
  out(chosen) {
    const { layout } = this.store, { kind, name, bend } = chosen;
    const line = kind === "line" && layout.lines.find((one) => one.name === name);
    const [without, spoken] = kind === "part" ? [edit.takeOff(layout, name), this.say("taken_off", { ref: name })]
      : kind === "join" ? [edit.removeJoin(layout, name), this.say("join_removed", { name })]
        : kind === "cover" ? [edit.removeCover(layout, name), this.say("cover_removed")]
          : line && bend !== undefined && bend < line.via.length ? [edit.removeBend(layout, name, bend), this.say("bend_removed")]
            : [edit.removeLine(layout, name), this.say("line_removed", { name })];
    this.store.view.chosen = line && bend !== undefined ? { kind, name } : null;
    this.store.change(without, spoken);
    return true;
  }

  nudged(chosen, dx, dy) {
    const { layout } = this.store, by = (thing) => ({ x: thing.x + dx, y: thing.y + dy });
    if (chosen.kind === "part") return layout.places.some((place) => keyOf(place) === chosen.name) ? edit.movePlace(layout, chosen.name, by) : null;
    if (chosen.kind === "join") {
      const join = layout.joins.find((one) => one.name === chosen.name);
      return join ? edit.moveJoin(layout, join.name, [join.x + dx, join.y + dy]) : null;
    }
    if (chosen.kind === "cover") return layout.covers[chosen.name] ? edit.changeCover(layout, chosen.name, by(layout.covers[chosen.name])) : null;
    const line = layout.lines.find((one) => one.name === chosen.name), point = line && line.via[chosen.bend];
    return point ? edit.moveBend(layout, line.name, chosen.bend, [point[0] + dx, point[1] + dy]) : null;
  }
}
