// Small helps that pages use without any script of their own; every page works without this file.

// "Tick all" for the checkboxes of one form.
document.addEventListener("change", (event) => {
  const all = event.target.closest("[data-ticks-all]");
  if (!all) return;
  for (const box of all.form.querySelectorAll(`input[type=checkbox][name="${all.dataset.ticksAll}"]`)) {
    box.checked = all.checked;
  }
});

// A question before something that cannot be taken back.
document.addEventListener("submit", (event) => {
  const question = (event.submitter && event.submitter.dataset.ask) || event.target.dataset.ask;
  if (question && !window.confirm(question)) event.preventDefault();
});

// Printing without an inline handler.
document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) window.print();
});

// A finding in the list points at its mark on the drawing, and the other way round.
function light(number, on) {
  for (const mark of document.querySelectorAll(`[data-finding="${CSS.escape(number)}"]`)) {
    mark.classList.toggle("pointed-at", on);
  }
}
for (const [kind, on] of [["mouseover", true], ["focusin", true], ["mouseout", false], ["focusout", false]]) {
  document.addEventListener(kind, (event) => {
    const about = event.target.closest && event.target.closest("[data-finding]");
    if (about) light(about.dataset.finding, on);
  });
}

// What is known of a hole on the drawing is said below it when the hole is tapped or pointed at.
for (const kind of ["click", "mouseover"]) {
  document.addEventListener(kind, (event) => {
    const hole = event.target.closest && event.target.closest("[data-said]");
    const here = hole && hole.closest(".working") && hole.closest(".working").querySelector("[data-said-here]");
    if (here) here.textContent = hole.dataset.said;
  });
}

// A part of the page that could not be fetched says so where it would have stood.
document.addEventListener("htmx:sendError", (event) => {
  const note = event.target.querySelector && event.target.querySelector("[data-offline]");
  if (note) note.hidden = false;
});
document.addEventListener("htmx:afterRequest", (event) => {
  const note = event.target.querySelector && event.target.querySelector("[data-offline]");
  if (note && event.detail.successful) note.hidden = true;
});
