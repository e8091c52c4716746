// Changes of a layout: each takes a layout and gives a new one; nothing is changed in place.

import { keyOf } from "./plan.js";

const others = (layout, key) => layout.places.filter((place) => keyOf(place) !== key);

/** The first name of a kind that is free: s1, s2 … */
export function freeName(letter, taken) {
  const names = new Set(taken.map((one) => one.name));
  let number = 1;
  while (names.has(`${letter}${number}`)) number++;
  return `${letter}${number}`;
}

export function put(layout, place) {
  const key = keyOf(place);
  const at = layout.places.findIndex((one) => keyOf(one) === key);
  if (at < 0) return { ...layout, places: [...layout.places, place] };
  return { ...layout, places: layout.places.map((one, i) => (i === at ? place : one)) };
}

export function takeOff(layout, key) {
  return { ...layout, places: others(layout, key) };
}

export function movePlace(layout, key, change) {
  const place = layout.places.find((one) => keyOf(one) === key);
  return place ? put(layout, { ...place, ...change(place) }) : layout;
}

export function addLine(layout, { piece, from, to, via }) {
  return { ...layout, lines: [...layout.lines, { name: freeName("s", layout.lines), piece, from, to, via }] };
}

/** Removes a line, and every meeting point that no line reaches then. */
export function removeLine(layout, name) {
  return withoutLooseJoins({ ...layout, lines: layout.lines.filter((line) => line.name !== name) }, layout);
}

function withoutLooseJoins(layout, before) {
  const reached = (one, join) => one.lines.some((line) => [line.from, line.to].includes(`@${join.name}`));
  return { ...layout, joins: layout.joins.filter((join) => reached(layout, join) || !reached(before, join)) };
}

export function changeLine(layout, name, change) {
  return { ...layout, lines: layout.lines.map((line) => (line.name === name ? { ...line, ...change(line) } : line)) };
}

export const moveBend = (layout, name, bend, at) =>
  changeLine(layout, name, (line) => ({ via: line.via.map((point, i) => (i === bend ? at : point)) }));

export const addBend = (layout, name, bend, at) =>
  changeLine(layout, name, (line) => ({ via: [...line.via.slice(0, bend), at, ...line.via.slice(bend)] }));

export const removeBend = (layout, name, bend) =>
  changeLine(layout, name, (line) => ({ via: line.via.filter((_, i) => i !== bend) }));

export function addJoin(layout, piece, at) {
  const name = freeName("j", layout.joins);
  return { layout: { ...layout, joins: [...layout.joins, { name, piece, x: at[0], y: at[1] }] }, name };
}

/** A meeting point on a line: the line ends there, and a new one goes on from it. */
export function splitLine(layout, line, segment, at) {
  const added = addJoin(layout, line.piece, at);
  const end = `@${added.name}`;
  const first = { ...line, to: end, via: line.via.slice(0, segment) };
  const second = { ...line, name: freeName("s", layout.lines), from: end, via: line.via.slice(segment) };
  const lines = added.layout.lines.flatMap((one) => (one.name === line.name ? [first, second] : [one]));
  return { layout: { ...added.layout, lines }, name: added.name };
}

export function moveJoin(layout, name, at) {
  return { ...layout, joins: layout.joins.map((join) => (join.name === name ? { ...join, x: at[0], y: at[1] } : join)) };
}

export function removeJoin(layout, name) {
  const end = `@${name}`;
  return {
    ...layout,
    joins: layout.joins.filter((join) => join.name !== name),
    lines: layout.lines.filter((line) => line.from !== end && line.to !== end),
  };
}

export const addCover = (layout, piece, at) => ({
  ...layout, covers: [...layout.covers, { piece, x: at[0], y: at[1], radius: 6 }],
});

export const changeCover = (layout, index, change) => ({
  ...layout, covers: layout.covers.map((cover, i) => (i === index ? { ...cover, ...change } : cover)),
});

export const removeCover = (layout, index) => ({ ...layout, covers: layout.covers.filter((_, i) => i !== index) });
