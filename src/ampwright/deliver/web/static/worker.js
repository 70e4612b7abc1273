// The service worker: a page comes from the server, and from this phone where the server does not answer.
const PATIENCE_MS = 4000;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELL).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("shell-") && name !== SHELL) await caches.delete(name);
    await self.clients.claim();
  })());
});

const answered = async (request, here) => {
  const impatient = here ? { signal: AbortSignal.timeout(PATIENCE_MS) } : {};
  const answer = await fetch(request, impatient);
  if (answer.status >= 500 && here) throw new Error(`the server answers ${answer.status}`);
  return answer;
};

const page = async (request) => {
  const here = await caches.match(request);
  try {
    return await answered(request, here);
  } catch {
    return here ?? await caches.match("/no-signal", { cacheName: SHELL });
  }
};

const shell = async (request) => await caches.match(request, { cacheName: SHELL }) ?? fetch(request);
const photo = async (request) => await caches.match(request) ?? fetch(request); // it never changes; a drawing does
const drawing = async (request) => {
  const here = await caches.match(request);
  try {
    return await answered(request, here);
  } catch (wrong) {
    if (here) return here;
    throw wrong;
  }
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (address.pathname.startsWith("/static/")) event.respondWith(shell(request));
  else if (request.destination === "image") event.respondWith(/\/photos\/[^/]+$/.test(address.pathname) ? photo(request) : drawing(request));
});
