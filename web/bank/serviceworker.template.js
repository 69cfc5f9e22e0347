/* The shell's keeper. `manage.py bank_build` fills in the build and its files. It holds no data
   and never answers for /api: a stale answer there would be a lie.
   FIRST is what the app starts with; LATER comes when that is on the phone. Each is kept whole and
   of this build, or not at all: what the server hands out may already be the next build's. */
const BUILD = "{{ build }}";
const FIRST = ["{{ first }}"];
const LATER = ["{{ later }}"];
const SUMS = new Map([[FIRST, "{{ first sum }}"], [LATER, "{{ later sum }}"]]);
const CACHE = `bank-${BUILD}`;
const TIME_LIMIT_MS = 120_000;

self.addEventListener("install", (event) => {
  // An update takes no screen away: it is offered once all of it is here.
  const groups = self.registration.active ? [FIRST, LATER] : [FIRST];
  event.waitUntil(Promise.all(groups.map(keep)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(oldDrop());
});

self.addEventListener("message", (event) => {
  // Only when the person said so: never in the middle of a weigh-in.
  if (event.data === "use-now") self.skipWaiting();
  if (event.data === "build") event.ports[0].postMessage(BUILD);
  if (event.data === "later") event.waitUntil(laterTell(event.ports[0]));
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname === "/bank/" || url.pathname === "/bank") {
    event.respondWith(kept("/bank/", event.request));
  } else if (FIRST.includes(url.pathname)) {
    event.respondWith(kept(url.pathname, event.request));
  } else if (LATER.includes(url.pathname)) {
    event.respondWith(laterKept(url.pathname));
  }
});

/** @type {Map<string[], Promise<void>>} */
const coming = new Map();

/** All of a group on the phone; asked twice, it is fetched once. */
function keep(group) {
  if (!coming.has(group)) {
    const done = groupKeep(group);
    coming.set(group, done);
    done.catch(() => coming.delete(group));
  }
  return coming.get(group);
}

async function groupKeep(group) {
  const cache = await caches.open(CACHE);
  const here = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  if (group.every((file) => here.has(file))) return;
  const signal = AbortSignal.timeout(TIME_LIMIT_MS);
  // Past the browser's own cache, or an update could mix two builds.
  const answers = await Promise.all(group.map((file) => fetch(file, { cache: "reload", signal })));
  const bodies = await Promise.all(answers.map((answer) => answer.clone().arrayBuffer()));
  if ((await sumOf(bodies)) !== SUMS.get(group)) throw new TypeError("Not the files of this build.");
  await Promise.all(group.map((file, n) => cache.put(file, answers[n])));
}

/** The SHA-256 of the SHA-256 of each, in hex. */
async function sumOf(bodies) {
  const sums = await Promise.all(bodies.map((body) => crypto.subtle.digest("SHA-256", body)));
  const whole = await crypto.subtle.digest("SHA-256", await new Blob(sums).arrayBuffer());
  return Array.from(new Uint8Array(whole), (byte) => byte.toString(16).padStart(2, "0")).join("");
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

async function laterKept(path) {
  const whole = await keep(LATER).then(() => true, () => false);
  return (whole && (await (await caches.open(CACHE)).match(path))) || Response.error();
}

async function laterTell(port) {
  port.postMessage(await keep(LATER).then(() => true, () => false));
}
