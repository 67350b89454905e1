// Keeps the phone's pages at hand without a network. The server writes above: NAME, made of what the files hold, and
// FILES. A new state of them is laid beside the old one and waits until a page says that no form holds anything.

const BEGIN = "rootcase-field-";
const KEPT = new Set(FILES);

self.addEventListener("install", (event) => event.waitUntil(lay()));
self.addEventListener("activate", (event) => event.waitUntil(takeOver()));
self.addEventListener("message", (event) => event.data === "take over" && self.skipWaiting());
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method === "GET" && origin === location.origin && KEPT.has(pathname)) {
    event.respondWith(kept(event.request, pathname));
  }
});

async function lay() {
  const cache = await caches.open(NAME);
  await cache.addAll(FILES.map((each) => new Request(each, { cache: "reload" })));
}

async function takeOver() {
  const old = (await caches.keys()).filter((name) => name.startsWith(BEGIN) && name !== NAME);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function kept(request, pathname) {
  const cache = await caches.open(NAME);
  return (await cache.match(pathname, { ignoreVary: true })) ?? fetch(request);
}
