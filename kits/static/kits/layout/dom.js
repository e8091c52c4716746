// HTML elements, made one by one: nothing that people typed is ever read as markup.

export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null));
  return element;
}

export const button = (words, key, press, more = {}) =>
  h("button", { type: "button", class: "btn btn-secondary", "data-key": key, onclick: press, ...more }, words);

/** A labelled number; `set` gets what was typed if it is a number in range. */
export function number(words, key, value, set, more = {}) {
  const input = h("input", { type: "number", step: "any", value, class: "form-control", "data-key": key, min: -10000, max: 10000, ...more,
    onchange: ({ target }) => {
      // Once the focus has moved on: what is set draws the lists anew, and the next field must be found there.
      if (target.value !== "" && target.checkValidity()) setTimeout(() => set(target.valueAsNumber));
      else target.value = value;
    } });
  return h("label", { class: "field" }, h("span", {}, words), input);
}

export function choice(words, key, options, value, set, more = {}) {
  const list = h("select", { class: "form-select", "data-key": key, ...more, onchange: (event) => set && set(event.target.value) });
  for (const [name, shown] of options) list.append(h("option", { value: name, selected: name === value }, shown));
  return h("label", { class: "field" }, h("span", {}, words), list);
}

/**
 * Puts new children into a place and gives the focus back to what had it, found by its data-key, with what is typed in it.
 * If that is gone, the focus goes to the place, or to the head of its list, or to the cloth: never to nowhere.
 */
export function refill(place, children) {
  const before = document.activeElement, focused = place.contains(before) ? before.dataset.key : null;
  place.replaceChildren(...children);
  if (!focused) return;
  const again = place.querySelector(`[data-key="${CSS.escape(focused)}"]`);
  if (!again) {
    const home = place.hasAttribute("tabindex") ? place : place.closest("details")?.querySelector("summary") || document.querySelector("svg.fabric");
    return home?.focus({ preventScroll: true });
  }
  again.focus({ preventScroll: true });
  if (again.type !== "number") return;
  if (before.value === before.defaultValue) return again.select(); // as the Tab key leaves it
  again.type = "text"; // only so does a browser tell and set where one writes
  again.value = before.value;
  again.setSelectionRange(again.value.length, again.value.length);
  again.type = "number";
}
