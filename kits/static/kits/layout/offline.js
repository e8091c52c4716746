// Where the browser allows it, a worker keeps this page, so that it can be loaded again without a network.

/** Resolves to whether the page can be loaded again offline. `scope` is the page's own address. */
export async function keepPage(worker, scope) {
  if (!isSecureContext || !navigator.serviceWorker) return false;
  try {
    const taken = navigator.serviceWorker.controller !== null;
    await navigator.serviceWorker.register(worker, { scope });
    const { active } = await navigator.serviceWorker.ready;
    const answer = new MessageChannel();
    const kept = new Promise((resolve) => { answer.port1.onmessage = (event) => resolve(event.data.kept === true); });
    active.postMessage({ addresses: made(), taken }, [answer.port2]);
    return await kept;
  } catch { return false; }
}

/** Scripts, styles and pictures that this page has loaded. */
function made() {
  const loaded = performance.getEntriesByType("resource").filter((one) => !["fetch", "xmlhttprequest"].includes(one.initiatorType));
  return [...new Set(loaded.map((one) => one.name.split("#")[0]))].filter((url) => url.startsWith(location.origin));
}
