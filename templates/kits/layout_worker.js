// Serves the layout page when there is no network. Always asks the network first: what it keeps is only the spare.

const SHELF = `tieoff-layout ${self.registration.scope}`;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => event.waitUntil(
  keep(event.data).then(() => true, () => false).then((kept) => event.ports[0].postMessage({ kept })),
));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin) return;
  event.respondWith(request.mode === "navigate" ? page(request) : spare(request));
});

/** Takes the page (unless it came through here and is kept) and all it uses; puts away what it no longer uses. */
async function keep({ addresses, taken }) {
  const shelf = await caches.open(SHELF), page = self.registration.scope;
  const fresh = taken && (await shelf.match(page)) ? [] : [take(shelf, page, "default")];
  // The page has just loaded these: the browser has them, and nothing goes over a slow network twice.
  await Promise.all([...fresh, ...addresses.map((address) => take(shelf, address, "force-cache"))]);
  const wanted = new Set([page, ...addresses]);
  for (const kept of await shelf.keys()) if (!wanted.has(kept.url)) await shelf.delete(kept);
}

async function take(shelf, address, cache) {
  const answer = await fetch(address, { credentials: "same-origin", cache });
  if (!answer.ok || answer.redirected) throw new Error(address);
  await shelf.put(address, answer);
}

/** The page itself: fresh where it can be. Who is signed out finds nothing of it here either. */
async function page(request) {
  const shelf = await caches.open(SHELF);
  let answer;
  try {
    answer = await fetch(request);
  } catch {
    return (await ofToday(shelf)) || Response.error();
  }
  if (answer.ok && !answer.redirected) await shelf.put(self.registration.scope, answer.clone());
  else if (answer.status < 500) await shelf.delete(self.registration.scope);
  return answer;
}

/** What is kept of the page, for as long as a learner is signed in: until the day is over. */
async function ofToday(shelf) {
  const page = await shelf.match(self.registration.scope);
  if (page && new Date(page.headers.get("Date")).toDateString() === new Date().toDateString()) return page;
  await shelf.delete(self.registration.scope);
  return null;
}

async function spare(request) {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match(request)) || Response.error();
  }
}
