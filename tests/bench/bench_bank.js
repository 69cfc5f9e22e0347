// What bench_bank.py measures inside the page: on its clock, without the way to the driver.
(() => {
  const OTHER_MATCHES = 10;
  const db = (name = "drawbag-bank", stores = null) => new Promise((resolve, reject) => {
    const asked = indexedDB.open(name);
    if (stores) asked.onupgradeneeded = () => stores.forEach((s) => asked.result.createObjectStore(s, { keyPath: "id" }));
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  const ended = (tx) => new Promise((resolve, reject) => {
    tx.oncomplete = resolve;
    tx.onabort = tx.onerror = () => reject(tx.error);
  });
  const frame = () => new Promise((resolve) => { requestAnimationFrame(() => setTimeout(resolve)); });
  const idle = () => new Promise((resolve) => { requestIdleCallback(resolve, { timeout: 2_000 }); });
  const id = (n) => `01890a5d-ac96-7000-8000-${String(n).padStart(12, "0")}`;
  const share = (times, part) => [...times].sort((a, b) => a - b)[Math.ceil(times.length * part) - 1];
  const told = (times) => ({ p50: share(times, 0.5), p95: share(times, 0.95) });

  /** A fact of somebody's day: mostly feed, some fish, a weight now and then. */
  function fact(n, match, device) {
    const kinds = {
      feed_note: { bait: "caster", amount: "0.25", unit: "pint", line: "long", stage: 0 },
      fish_note: { species: "roach", count: 1, weight: null },
    };
    const kind = n % 3 ? "feed_note" : "fish_note";
    return {
      id: id(n), device, seq: n, kind, match, peg: String((n % 6) + 1),
      recorded_at: new Date(Date.now() - n * 1_000).toISOString(), clock_offset_ms: -850,
      supersedes: null, body: kinds[kind],
    };
  }

  async function personOf(open) {
    const asked = open.transaction("meta").objectStore("meta").get("person");
    await new Promise((resolve) => { asked.onsuccess = resolve; });
    return asked.result.id;
  }

  async function rowsPut(make) {
    const open = await db();
    const person = await personOf(open);
    const tx = open.transaction(["facts", "pulled", "meta"], "readwrite");
    make(person, (store, row) => tx.objectStore(store).put(row));
    await ended(tx);
    open.close();
  }

  /** Half logged here and sent, one in ten of these in this match; half pulled of this match. */
  function fill(match, count) {
    const device = crypto.randomUUID();
    return rowsPut((person, put) => {
      for (let n = 1; n <= count / 2; n += 1) {
        const of = n % OTHER_MATCHES ? String(1_000 + (n % OTHER_MATCHES)) : match;
        put("facts", {
          id: id(n), person, match: of, state: "sent", outcome: "accepted", cseq: n,
          fact: fact(n, of, device), kept_at: Date.now(), sent_at: Date.now(),
        });
      }
      for (let n = count / 2 + 1; n <= count; n += 1) {
        const row = { ...fact(n, match, device), cseq: n, author: { id: "999", name: "Perrin Stoat" } };
        put("pulled", { person, id: id(n), match, fact: row });
      }
    });
  }

  function outbox(match, count) {
    const device = crypto.randomUUID();
    return rowsPut((person, put) => {
      for (let n = 1; n <= count; n += 1) {
        const row = { ...fact(n, match, device), id: crypto.randomUUID() };
        put("facts", { id: row.id, person, match, state: "kept", fact: row, kept_at: Date.now() });
      }
      put("meta", { key: `device:${person}`, device, seq: count });
    });
  }

  // When the next write of a fact has ended: told by the engine, not by the app.
  let onDurable = () => {};
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function transaction(stores, mode, ...rest) {
    const tx = begin.call(this, stores, mode, ...rest);
    const facts = mode === "readwrite" && [...tx.objectStoreNames].includes("facts");
    if (facts) tx.addEventListener("complete", () => onDurable(performance.now()));
    return tx;
  };

  let tapped = 0;
  async function tapOnce() {
    const lately = document.querySelector(".lately");
    const began = performance.now();
    const durable = new Promise((resolve) => { onDurable = resolve; });
    const tick = new Promise((resolve) => {
      const look = new MutationObserver(() => {
        if (!lately.textContent.includes("kept")) return;
        look.disconnect();
        resolve(performance.now());
      });
      look.observe(lately, { subtree: true, childList: true, characterData: true });
    });
    // One key and another in turn, so that each tick says something new.
    tapped += 1;
    document.querySelectorAll(".fish-key")[tapped % 2].click();
    const times = { durable: (await durable) - began, tick: (await tick) - began };
    onDurable = () => {};
    return times;
  }

  async function bareOnce(open, row) {
    const began = performance.now();
    const tx = open.transaction("rows", "readwrite", { durability: "strict" });
    tx.objectStore("rows").put(row);
    await ended(tx);
    return performance.now() - began;
  }

  async function taps(count) {
    const open = await db("bare", ["rows"]);
    const all = { durable: [], tick: [], bare: [] };
    const row = {
      id: "", person: "1", match: "1", state: "kept", fact: fact(1, "1", crypto.randomUUID()),
      kept_at: Date.now(),
    };
    for (let n = 0; n < count; n += 1) {
      await settled();
      const { durable, tick } = await tapOnce();
      all.durable.push(durable);
      all.tick.push(tick);
      await settled();
      all.bare.push(await bareOnce(open, { ...row, id: crypto.randomUUID() }));
    }
    open.close();
    return Object.fromEntries(Object.entries(all).map(([name, times]) => [name, told(times)]));
  }

  /** Nothing left to do of what went before: two idle moments on end. */
  async function settled() {
    for (let n = 0; n < 2; n += 1) { await frame(); await idle(); }
  }

  const SCREENS = { "": "screen-match", weigh: "screen-weigh", feed: "screen-feed", fish: "screen-fish", phone: "screen-phone" };

  /** From the change of address to a screen that has read all it shows, drawn. */
  async function screen(to) {
    location.hash = "#/";
    await settled();
    const name = SCREENS[to.startsWith("#/phone") ? "phone" : /\/match\/\d+\/?(.*)/.exec(to)[1]];
    const began = performance.now();
    location.hash = to;
    for (;;) {
      await frame();
      const shown = document.querySelector(name);
      if (shown?.querySelector("h1") && (!("read" in shown) || shown.read)) break;
    }
    return performance.now() - began;
  }

  async function emptied() {
    const began = performance.now();
    dispatchEvent(new Event("online"));
    const kept = () => document.querySelector("[data-count=kept] b").textContent.trim();
    while (kept() !== "0") await frame();
    return performance.now() - began;
  }

  // When something first stood on the page, from asking for the page on.
  const opened = () => performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd;
  let at = 0;
  const shown = () => at;
  new MutationObserver(() => {
    if (!at && document.querySelector("screen-match nav")) at = performance.now();
  }).observe(document, { subtree: true, childList: true });

  window.bench = { fill, outbox, taps, screen, emptied, opened, shown };
})();
