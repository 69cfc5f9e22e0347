/* The shell's keeper. `manage.py bank_build` fills in the build and the files. It holds no data
   and never answers for /api: a stale answer there would be a lie. */
const BUILD = "{{ build }}";
const FILES = ["{{ files }}"];
const CACHE = `bank-${BUILD}`;

self.addEventListener("install", (event) => {
  event.waitUntil(shellKeep());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(oldDrop());
});

self.addEventListener("message", (event) => {
  // Only when the person said so: never in the middle of a weigh-in.
  if (event.data === "use-now") self.skipWaiting();
  if (event.data === "build") event.ports[0].postMessage(BUILD);
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname === "/bank/" || url.pathname === "/bank") {
    event.respondWith(kept("/bank/", event.request));
  } else if (FILES.includes(url.pathname)) {
    event.respondWith(kept(url.pathname, event.request));
  }
});

async function shellKeep() {
  const cache = await caches.open(CACHE);
  // Past the browser's own cache, or an update could mix two builds.
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
}

async function oldDrop() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("bank-") && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function kept(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}
