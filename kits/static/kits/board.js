// The class board: one tap without loading the page anew, names hidden at one key, and the time left of short codes.
// Every button works without this file.

// A button that changes the board in place; the form it stands in is that of the ticked kits.
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-board-post]");
  if (!button || !window.htmx) return;
  event.preventDefault();
  window.htmx.ajax("POST", button.getAttribute("formaction"), {
    source: button,
    target: "#board",
    swap: "outerHTML",
    values: { [button.name]: button.value },
  });
});

// Escape hides names and pace for the projector, and shows them again; so does the button.
function toggleNames() {
  const frame = document.querySelector("[data-names]");
  if (!frame) return;
  const hidden = frame.classList.toggle("names-hidden");
  document.cookie = `board_hidden=${hidden ? "1" : ""}; path=/; SameSite=Lax`;
  const button = document.querySelector("[data-names-button]");
  button.value = hidden ? "show" : "hide";
  button.setAttribute("aria-pressed", hidden);
  button.querySelector("[data-names-words]").textContent = hidden ? button.dataset.show : button.dataset.hide;
}
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !event.target.closest("input[type=text], textarea")) toggleNames();
});
document.addEventListener("click", (event) => {
  if (!event.target.closest("[data-names-button]")) return;
  event.preventDefault();
  toggleNames();
});

// Short codes: how long they still open something.
for (const shown of document.querySelectorAll("[data-countdown]")) {
  const until = Date.now() + Number(shown.dataset.countdown) * 60000;
  const tick = () => {
    const left = Math.max(0, Math.round((until - Date.now()) / 1000));
    shown.textContent = left ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}` : shown.dataset.over;
    if (left) setTimeout(tick, 1000);
  };
  tick();
}
