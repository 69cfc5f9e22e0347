/* The shell's keeper. `manage.py bank_build` fills in the build and its files. It holds no data
   and never answers for /api: a stale answer there would be a lie.
   FIRST is what the app starts with; LATER comes when that is on the phone. Each comes in one pack,
   and is kept whole and of this build, or not at all: what the server hands out may already be the
   next build's. */
const BUILD = "{{ build }}";
const FIRST = ["{{ first }}"];
const LATER = ["{{ later }}"];
const PACKS = new Map([[FIRST, "{{ first pack }}"], [LATER, "{{ later pack }}"]]);
const SUMS = new Map([[FIRST, "{{ first sum }}"], [LATER, "{{ later sum }}"]]);
const PAGE = "/bank/";
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
  if (url.pathname === PAGE || url.pathname === "/bank") {
    event.respondWith(pageKept(event.request));
  } else if (FIRST.includes(url.pathname)) {
    event.respondWith(firstKept(url.pathname, event.request));
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
  const pack = PACKS.get(group);
  if (await cache.match(pack)) return;
  // The page comes beside its pack, under the policy that its own answer states. Past the browser's
  // own cache, or an update could mix two builds.
  const wanted = { cache: "reload", signal: AbortSignal.timeout(TIME_LIMIT_MS) };
  const from = group === FIRST ? [PAGE, pack] : [pack];
  const answers = await Promise.all(from.map((address) => fetch(address, wanted)));
  const bodies = await Promise.all(answers.map((answer) => answer.clone().arrayBuffer()));
  if ((await sumOf(bodies)) !== SUMS.get(group)) throw new TypeError("Not the files of this build.");
  // The pack last: where it is, all is.
  for (const [n, address] of from.entries()) await cache.put(address, answers[n]);
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

async function pageKept(request) {
  return (await (await caches.open(CACHE)).match(PAGE)) ?? fetch(request);
}

async function firstKept(path, request) {
  return (await fileOf(FIRST, path)) ?? fetch(request);
}

async function laterKept(path) {
  const whole = await keep(LATER).then(() => true, () => false);
  return (whole && (await fileOf(LATER, path))) || Response.error();
}

/** @type {Map<string[], Promise<{ headers: Headers, files: Map<string, string[]> } | null>>} */
const opened = new Map();

/** A file out of its pack, with the headers the pack came with; null where the pack is not kept. */
async function fileOf(group, path) {
  if (!opened.has(group)) opened.set(group, packOpen(group));
  const pack = await opened.get(group);
  if (!pack) opened.delete(group);
  const [type, text] = pack?.files.get(path) ?? [];
  if (text === undefined) return null;
  const headers = new Headers(pack.headers);
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  headers.set("Content-Type", type);
  return new Response(text, { headers });
}

async function packOpen(group) {
  const kept = await (await caches.open(CACHE)).match(PACKS.get(group));
  return kept ? { headers: kept.headers, files: new Map(Object.entries(await kept.json())) } : null;
}

async function laterTell(port) {
  port.postMessage(await keep(LATER).then(() => true, () => false));
}
