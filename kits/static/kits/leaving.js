// Leaving a shared tablet: what was not sent is said first, and no plan stays behind for whoever comes next.

const own = document.querySelector("[data-own-kit]")?.dataset.ownKit; // empty where nobody is signed in, missing where it does not matter

/** Asks whether to leave although work is unsent; Escape means to wait. Resolves to whether to leave. */
export function ask(words = "") {
  const dialog = document.querySelector("[data-leave-question]");
  if (words) dialog.querySelector("p").textContent = words;
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((done) => dialog.addEventListener("close", () => done(dialog.returnValue === "leave"), { once: true }));
}

function keys() {
  try { return Object.keys(localStorage); } catch { return []; } // a browser that keeps nothing
}

document.addEventListener("submit", async (event) => {
  const form = event.target, unsent = own && keys().some((key) => key.startsWith(`tieoff-layout-kit-${own}.`));
  if (event.defaultPrevented || !form.matches("[data-leave]") || !unsent) return;
  event.preventDefault();
  if (await ask()) return form.submit();
  const { plan } = document.querySelector("[data-leave-question]").dataset; // the page that sends it
  if (location.pathname !== plan) location.assign(plan);
});

/** Plans are kept for work without a network: those of kits that nobody here has open any more go. What was never sent
 * stays, for whoever opens that kit next. */
async function putAway() {
  const ours = (address) => own && address.endsWith(`/kits/${own}/layout/`);
  for (const key of keys()) if (key.startsWith("tieoff-saved-") && key !== `tieoff-saved-kit-${own}`) localStorage.removeItem(key);
  if (!window.caches) return;
  for (const name of await caches.keys()) if (name.startsWith("tieoff-layout ") && !ours(name)) await caches.delete(name);
  for (const worker of (await navigator.serviceWorker?.getRegistrations()) || []) if (worker.scope.endsWith("/layout/") && !ours(worker.scope)) await worker.unregister();
}
if (own !== undefined) putAway();
