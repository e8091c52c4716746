// SVG elements, made one by one: nothing that people typed is ever read as markup.

const SVG = "http://www.w3.org/2000/svg";

export function el(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) element.setAttribute(name, typeof value === "number" ? +value.toFixed(3) : value);
  }
  element.append(...children.filter((child) => child !== null));
  return element;
}

export const path = (points, closed) => `M${points.map(([x, y]) => `${+x.toFixed(2)} ${+y.toFixed(2)}`).join("L")}${closed ? "Z" : ""}`;

/** Words with the middle of their letters at a point. */
export const words = (text, [x, y], size, attributes = {}) =>
  el("text", { x, y: y + 0.36 * size, "font-size": size, "font-weight": "bold", "text-anchor": "middle", ...attributes }, String(text));

const parsed = new Map();

/** Our own drawing of a part type, as it came from the server, ready to be put in. */
export function artOf(type) {
  if (!parsed.has(type)) {
    const read = new DOMParser().parseFromString(`<svg xmlns="${SVG}">${type.art}</svg>`, "image/svg+xml");
    parsed.set(type, document.importNode(read.documentElement, true));
  }
  return [...parsed.get(type).cloneNode(true).childNodes];
}
