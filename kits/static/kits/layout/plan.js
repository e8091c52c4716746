// What the page knows of the circuit (it never changes here), and questions about a layout of it.

import { distance, nearestOn, onFabric } from "./geometry.js";

export class Circuit {
  constructor(data) {
    this.pieces = data.pieces;
    this.parts = data.parts;
    this.types = data.types;
    this.connections = data.connections;
    this.stitch = data.stitch;
    this.part = Object.fromEntries(data.parts.map((part) => [part.ref, part]));
    this.connectionOf = {};
    for (const connection of [...data.connections].reverse()) {
      for (const terminal of connection.terminals) this.connectionOf[terminal] = connection;
    }
  }

  type(ref) { return this.types[this.part[ref].type]; }

  piece(name) { return this.pieces.find((piece) => piece.name === name); }

  /** What is printed at a terminal, with its part: "B1 +". */
  spoken(end) {
    if (end.startsWith("@")) return end.slice(1);
    const [ref, name] = end.split(".");
    const terminal = this.type(ref).terminals.find((one) => one.name === name);
    return `${ref} ${terminal ? terminal.label || name : name}`;
  }
}

/** The key of a place: its ref, or ref and terminal where one terminal is placed by itself. */
export const keyOf = (place) => (place.terminal ? `${place.ref}.${place.terminal}` : place.ref);

/** Everything that can be placed, in the order of the parts: {key, ref, terminal, place}. */
export function items(circuit, layout) {
  const places = Object.fromEntries(layout.places.map((place) => [keyOf(place), place]));
  return circuit.parts.flatMap((part) => {
    const names = circuit.types[part.type].terminals.map((terminal) => terminal.name);
    const apart = !places[part.ref] && (part.apart || names.some((name) => places[`${part.ref}.${name}`]));
    if (!apart) return [{ key: part.ref, ref: part.ref, terminal: null, place: places[part.ref] }];
    return names.map((name) => {
      const key = `${part.ref}.${name}`;
      return { key, ref: part.ref, terminal: name, place: places[key] };
    });
  });
}

/** Placed terminals: {"B1.p1": {piece, at: [x, y]}}. */
export function spots(circuit, layout) {
  const found = {};
  for (const place of layout.places) {
    if (place.terminal) {
      found[keyOf(place)] = { piece: place.piece, at: [place.x, place.y] };
      continue;
    }
    for (const terminal of circuit.type(place.ref).terminals) {
      found[`${place.ref}.${terminal.name}`] = { piece: place.piece, at: onFabric(place, terminal.x, terminal.y) };
    }
  }
  return found;
}

/** Every end that a line may have: terminals and joins, as `spots`. */
export function ends(circuit, layout) {
  const found = spots(circuit, layout);
  for (const join of layout.joins) found[`@${join.name}`] = { piece: join.piece, at: [join.x, join.y] };
  return found;
}

/** The known points of a line on its piece, and whether both ends are among them. */
export function course(line, found) {
  const here = (end) => (found[end] && found[end].piece === line.piece ? [found[end].at] : []);
  const [from, to] = [here(line.from), here(line.to)];
  return { points: [...from, ...line.via, ...to], whole: from.length + to.length === 2 };
}

/** The end nearest to a point of a piece, within `reach` mm; null if there is none. */
export function endNear(found, piece, at, reach) {
  let best = null;
  for (const [end, spot] of Object.entries(found)) {
    const far = distance(spot.at, at);
    if (spot.piece === piece && far <= reach && (!best || far < best.far)) best = { end, far };
  }
  return best && best.end;
}

/** The line nearest to a point, within `reach` mm: {line, at, segment}; null if there is none. */
export function lineNear(layout, found, piece, at, reach) {
  let best = null;
  for (const line of layout.lines) {
    const { points, whole } = course(line, found);
    if (line.piece !== piece || !whole) continue;
    const near = nearestOn(points, at);
    if (near.far <= reach && (!best || near.far < best.far)) best = { line, ...near };
  }
  return best;
}

/** Connections that a line is drawn for, followed over joins; a sound line has one. */
export function connectionsOfLines(circuit, layout) {
  const byJoin = {};
  for (const line of layout.lines) {
    for (const end of [line.from, line.to]) if (end.startsWith("@")) (byJoin[end] ||= []).push(line);
  }
  const found = {};
  for (const line of layout.lines) {
    const seen = new Set([line]), todo = [line], names = new Set();
    while (todo.length) {
      const one = todo.pop();
      for (const end of [one.from, one.to]) {
        if (circuit.connectionOf[end]) names.add(circuit.connectionOf[end]);
        for (const next of byJoin[end] || []) if (!seen.has(next)) { seen.add(next); todo.push(next); }
      }
    }
    found[line.name] = [...names];
  }
  return found;
}

/** Pairs of points still to be joined on a piece, shortest first: [{connection, from, to}]. */
export function stillToSew(circuit, layout, piece) {
  const found = ends(circuit, layout);
  const group = {};
  const top = (name) => { while (group[name] && group[name] !== name) name = group[name]; return name; };
  const tie = (a, b) => { group[top(a)] = top(b); };
  for (const part of circuit.parts) {
    for (const names of circuit.types[part.type].groups) {
      for (const name of names) tie(`${part.ref}.${name}`, `${part.ref}.${names[0]}`);
    }
  }
  for (const line of layout.lines) if (course(line, found).whole) tie(line.from, line.to);
  const links = [];
  for (const connection of circuit.connections) {
    const pairs = [];
    const here = connection.terminals.filter((terminal) => found[terminal] && found[terminal].piece === piece);
    here.forEach((a, i) => here.slice(0, i).forEach((b) => pairs.push([distance(found[a].at, found[b].at), a, b])));
    for (const [, a, b] of pairs.sort((p, q) => p[0] - q[0])) {
      if (top(a) === top(b)) continue;
      tie(a, b);
      links.push({ connection, from: found[a].at, to: found[b].at });
    }
  }
  return links;
}
