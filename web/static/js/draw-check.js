// @ts-check
// Works a draw out anew from its lists and seed, by the recipe of the draw calculator, and says
// whether that is what the page shows. A script without imports, so that it also runs in a copy of
// the page on a disk, where browsers load no modules; with a SHA-256 of its own, since theirs is
// missing on a page that did not come over a safe connection.
(() => {
  /** @typedef {{id: string, team?: string | null, needs_access?: boolean}} Angler */
  /** @typedef {{id: string, pegs: string[], accessible?: string[]}} Section */
  /** @typedef {{seed: string, anglers: Angler[], sections: Section[], mode: string}} Request */
  /** @typedef {{angler: string, section: string, peg: string}} Assignment */
  /** @typedef {(bound: number) => number} Below the next number from 0 to bound - 1 */

  // SHA-256 of FIPS 180-4: its constants are fractions of roots of the first primes.
  const PRIMES = [];
  for (let n = 2; PRIMES.length < 64; n++) if (PRIMES.every((p) => n % p)) PRIMES.push(n);
  /** @param {number} value */
  const fraction = (value) => ((value % 1) * 2 ** 32) >>> 0;
  const START = PRIMES.slice(0, 8).map((p) => fraction(p ** (1 / 2)));
  const ROUNDS = PRIMES.map((p) => fraction(Math.cbrt(p)));

  /** @param {Uint8Array} message */
  function sha256(message) {
    const padded = new DataView(new ArrayBuffer(Math.ceil((message.length + 9) / 64) * 64));
    message.forEach((byte, i) => padded.setUint8(i, byte));
    padded.setUint8(message.length, 0x80);
    padded.setBigUint64(padded.byteLength - 8, BigInt(message.length) * 8n);
    const state = Uint32Array.from(START);
    for (let at = 0; at < padded.byteLength; at += 64) block(state, padded, at);
    const out = new DataView(new ArrayBuffer(32));
    state.forEach((word, i) => out.setUint32(4 * i, word));
    return out;
  }

  /** @param {Uint32Array} state @param {DataView} padded @param {number} at */
  function block(state, padded, at) {
    const w = new Uint32Array(64);
    /** @param {number} x @param {number} n */
    const turn = (x, n) => (x >>> n) | (x << (32 - n));
    for (let i = 0; i < 64; i++) {
      if (i < 16) {
        w[i] = padded.getUint32(at + 4 * i);
        continue;
      }
      const s0 = turn(w[i - 15], 7) ^ turn(w[i - 15], 18) ^ (w[i - 15] >>> 3);
      const s1 = turn(w[i - 2], 17) ^ turn(w[i - 2], 19) ^ (w[i - 2] >>> 10);
      w[i] = w[i - 16] + s0 + w[i - 7] + s1;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i++) {
      const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
      const t1 = (h + s1 + ((e & f) ^ (~e & g)) + ROUNDS[i] + w[i]) >>> 0;
      const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
      const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) >>> 0;
      [a, b, c, d, e, f, g, h] = [(t1 + t2) >>> 0, a, b, c, (d + t1) >>> 0, e, f, g];
    }
    [a, b, c, d, e, f, g, h].forEach((word, i) => (state[i] += word));
  }

  /** @param {string} seed */
  const seedBytes = (seed) =>
    Uint8Array.from({ length: 32 }, (_, i) => parseInt(seed.slice(2 * i, 2 * i + 2), 16));

  /** @param {string} seed */
  function commitmentOf(seed) {
    const digest = sha256(seedBytes(seed));
    return Array.from({ length: 32 }, (_, i) =>
      digest.getUint8(i).toString(16).padStart(2, "0"),
    ).join("");
  }

  /** @param {string} seed @returns {Below} */
  function numbersOf(seed) {
    const message = new Uint8Array(40);
    message.set(seedBytes(seed));
    const counter = new DataView(message.buffer, 32);
    let k = 0n;
    return (bound) => {
      const m = BigInt(bound);
      const whole = (2n ** 64n / m) * m;
      for (;;) {
        counter.setBigUint64(0, k++);
        const u = sha256(message).getBigUint64(0);
        if (u < whole) return Number(u % m);
      }
    };
  }

  /** @template T @param {T[]} items @param {Below} below */
  function shuffled(items, below) {
    const out = [...items];
    for (let i = out.length - 1; i > 0; i--) {
      const j = below(i + 1);
      [out[i], out[j]] = [out[j], out[i]];
    }
    return out;
  }

  // The order of UTF-8 bytes is that of code points, which is not that of JavaScript's strings.
  /** @param {string} a @param {string} b */
  function byBytes(a, b) {
    const [x, y] = [a, b].map((text) => Array.from(text, (c) => c.codePointAt(0) ?? 0));
    const n = x.findIndex((point, i) => point !== y[i]);
    return n < 0 ? x.length - y.length : x[n] - (y[n] ?? -1);
  }

  /** @param {{id: string}[]} rows */
  const idsSorted = (rows) => rows.map((row) => row.id).sort(byBytes);

  /** @param {Request} request */
  function drawWorkOut(request) {
    const below = numbersOf(request.seed);
    const sections = [...request.sections].sort((a, b) => byBytes(a.id, b.id));
    const first = accessDraw(request, sections, below);
    const seated = new Set(first.map((a) => a.angler));
    const gone = new Set(first.map((a) => a.peg));
    const others = request.anglers.filter((angler) => !seated.has(angler.id));
    const left = sections.map((s) => ({ id: s.id, pegs: s.pegs.filter((peg) => !gone.has(peg)) }));
    const drawn =
      request.mode === "team"
        ? teamDraw(request, others, first, left, below)
        : openDraw(others, left, below);
    return {
      commitment: commitmentOf(request.seed),
      assignments: [...first, ...drawn].sort((a, b) => byBytes(a.angler, b.angler)),
    };
  }

  /** @param {Request} request @param {Section[]} sections @param {Below} below */
  function accessDraw(request, sections, below) {
    const asking = request.anglers.filter((angler) => angler.needs_access);
    const sideOf = new Map(
      asking.map((a) => [a.id, request.mode === "team" ? (a.team ?? "") : a.id]),
    );
    const free = sections.map((s) => s.pegs.filter((peg) => s.accessible?.includes(peg)));
    /** @type {Set<string>[]} the sides that have somebody in each section */
    const held = sections.map(() => new Set());
    const order = shuffled(idsSorted(asking), below);
    return order.map((angler, turn) => {
      const side = sideOf.get(angler) ?? "";
      const after = order.slice(turn + 1).map((id) => sideOf.get(id) ?? "");
      let open = free.flatMap((pegs, n) =>
        held[n].has(side) ? [] : pegs.map((peg) => ({ n, peg })),
      );
      for (;;) {
        const { n, peg } = open[below(open.length)];
        held[n].add(side);
        const seats = free.map((pegs, i) => pegs.length - (i === n ? 1 : 0));
        if (everyoneFits(after, seats, held)) {
          free[n] = free[n].filter((other) => other !== peg);
          return { angler, section: sections[n].id, peg };
        }
        held[n].delete(side);
        open = open.filter((other) => other.n !== n);
      }
    });
  }

  // Whether each of `sides` can have a seat, no two of one side in one section: each who finds a
  // section full asks those there to move on.
  /** @param {string[]} sides @param {number[]} seats @param {Set<string>[]} held */
  function everyoneFits(sides, seats, held) {
    /** @type {Set<string>[]} */
    const seated = seats.map(() => new Set());
    /** @param {string} side @param {Set<number>} tried @returns {boolean} */
    const seat = (side, tried) =>
      seats.some((many, n) => {
        if (!many || tried.has(n) || seated[n].has(side) || held[n].has(side)) return false;
        tried.add(n);
        const mover =
          seated[n].size < many ? null : [...seated[n]].find((other) => seat(other, tried));
        if (mover === undefined) return false;
        if (mover !== null) seated[n].delete(mover);
        seated[n].add(side);
        return true;
      });
    return sides.every((side) => seat(side, new Set()));
  }

  /** @param {Angler[]} anglers @param {Section[]} left @param {Below} below */
  function openDraw(anglers, left, below) {
    const pegs = left.flatMap((s) => s.pegs.map((peg) => ({ section: s.id, peg })));
    return shuffled(idsSorted(anglers), below).map((angler, n) => ({ angler, ...pegs[n] }));
  }

  /**
   * @param {Request} request @param {Angler[]} others @param {Assignment[]} first
   * @param {Section[]} left @param {Below} below
   */
  function teamDraw(request, others, first, left, below) {
    const team = new Map(request.anglers.map((angler) => [angler.id, angler.team]));
    const held = new Set(first.map((a) => JSON.stringify([team.get(a.angler), a.section])));
    /** @type {Map<string, string[]>} */
    const of = new Map(left.map((s) => [s.id, []]));
    for (const name of [...new Set(others.map((a) => a.team ?? ""))].sort(byBytes)) {
      const to = left.filter((s) => !held.has(JSON.stringify([name, s.id])));
      const members = others.filter((angler) => angler.team === name);
      shuffled(idsSorted(members), below).forEach((id, n) => of.get(to[n].id)?.push(id));
    }
    return left.flatMap((s) =>
      shuffled([...(of.get(s.id) ?? [])].sort(byBytes), below).map((angler, n) => ({
        angler,
        section: s.id,
        peg: s.pegs[n],
      })),
    );
  }

  // The page -----------------------------------------------------------------------------------

  /** @param {string} words @param {Record<string, string>} values */
  const filled = (words, values) =>
    words.replace(/[A-Z]{3,}/g, (key) => values[key] ?? key);

  /** @param {HTMLElement} draw */
  function check(draw) {
    const box = /** @type {HTMLElement} */ (draw.querySelector("[data-check]"));
    const words = /** @type {Record<string, string>} */ (box.dataset);
    const published = JSON.parse(draw.querySelector("[data-published]")?.textContent ?? "");
    const answer = drawWorkOut(published.request);
    /** @param {{section?: string, peg?: string} | undefined} at */
    const place = (at) =>
      at ? filled(words.place, { SECTION: at.section ?? "", PEG: at.peg ?? "" }) : words.none;
    const at = new Map(answer.assignments.map((a) => [a.angler, a]));
    let first = "";
    for (const row of /** @type {NodeListOf<HTMLElement>} */ (
      draw.querySelectorAll("tr[data-angler]")
    )) {
      const { angler = "", section = "", peg = "" } = row.dataset;
      const drawn = at.get(angler);
      at.delete(angler);
      const good = drawn?.section === section && drawn.peg === peg;
      const other = place(drawn);
      if (!good && !first) {
        first = filled(words.differs, { ANGLER: angler, SECTION: section, PEG: peg, OTHER: other });
      }
      mark(row, good, good ? words.rowGood : filled(words.rowBad, { OTHER: other }));
    }
    for (const [angler, drawn] of at) {
      first ||= filled(words.differs, {
        ANGLER: angler,
        SECTION: "–",
        PEG: "–",
        OTHER: place(drawn),
      });
    }
    if (answer.commitment !== published.commitment) first = words.commitment;
    const said = /** @type {HTMLElement} */ (box.querySelector("[role=status]"));
    said.textContent = first ? `✗ ${first}` : `✓ ${words.good}`;
    said.className = first ? "wide check-bad" : "wide check-good";
    const rows = draw.querySelector("details");
    if (rows) rows.open = true;
  }

  /** @param {HTMLElement} row @param {boolean} good @param {string} words */
  function mark(row, good, words) {
    row.querySelector("[data-mark]")?.remove();
    const said = document.createElement("span");
    said.dataset.mark = "";
    said.className = good ? "under check-good" : "under check-bad";
    said.textContent = `${good ? "✓" : "✗"} ${words}`;
    row.querySelector("th")?.append(said);
  }

  if (typeof document !== "undefined") {
    for (const draw of /** @type {NodeListOf<HTMLElement>} */ (
      document.querySelectorAll("[data-draw]")
    )) {
      const box = /** @type {HTMLElement} */ (draw.querySelector("[data-check]"));
      box.hidden = false;
      box.querySelector("button")?.addEventListener("click", () => check(draw));
    }
  }
  Object.assign(globalThis, { drawRecipe: { drawWorkOut, sha256 } });
})();
