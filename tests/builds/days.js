/**
 * What a phone of each build is made to log, by the build's own modules. `record.py` runs one of
 * these in a page of that build; `log` keeps a fact, `hand` gives what is kept to the other phone.
 */
const peg = "1";
const taken = { why: "taken back on the phone" };

export const days = {
  /** Every kind the first build wrote. */
  async first({ log }) {
    await log("signal", "", { signal: "start" });
    await log("feed_note", peg, { bait: "caster", amount: "0.25", unit: "pint", line: "long", stage: 0 });
    await log("feed_note", peg, { bait: "hemp", amount: "1", unit: "pint", line: "", stage: null });
    await log("signal", "", { signal: "five_minutes" });
    await log("signal", "", { signal: "end" });
    const first = await log("weigh_in", peg, { net: 1, weight: 4250, unit: "g", witness: "Maud Ferris" });
    await log("weigh_in", peg, { net: 2, weight: 980, unit: "g", witness: null });
    await log("weigh_in", peg, { net: 1, weight: 4150, unit: "g", witness: null }, first);
    const none = await log("weigh_in", "4", { net: 1, weight: 0, unit: "g", witness: null });
    await log("scratch", "4", taken, none);
  },

  async fishAndPeg({ log, own }) {
    const { pegNoteBody } = await own("peg-notes.js");
    const fish = await log("fish_note", peg, { species: "roach", count: 1, weight: null });
    await log("scratch", peg, taken, fish);
    await log("peg_note", peg, pegNoteBody(
      { depth: "210", distance: "1000", seconds: "14.2", settles: "", note: "shelf at 9 m" }));
  },

  async fishCounted({ log, own }) {
    const { fishPress, fishStart } = await own("fish.js");
    const fish = fishPress(fishStart([{ name: "Roach" }, { name: "Bream" }], null), "Roach", 12);
    const first = await log("weigh_in", peg, { net: 1, weight: 980, unit: "g", witness: null, fish });
    await log("weigh_in", peg, { net: 1, weight: 960, unit: "g", witness: null, reweigh: true }, first);
  },

  /** The mate has no signal; this phone carries what it is handed. */
  async carried({ log, hand }) {
    await log("weigh_in", peg, { net: 1, weight: 4250, unit: "g", witness: null });
    await log("feed_note", peg, { bait: "caster", amount: "0.25", unit: "pint", line: "long", stage: 0 });
    await hand();
  },

  async fishBySize({ log }) {
    const caught = { species: "roach", count: 1, weight: null };
    await log("fish_note", peg, { ...caught, size: "middling", about: 50, line: "long" });
    await log("fish_note", peg, { ...caught, species: "bream", size: "good", about: null, line: "" });
  },

  async snagsAndRuns({ log, own }) {
    const { pegNoteBody } = await own("peg-notes.js");
    const typed = { depth: "240", distance: "", seconds: "", settles: "300", note: "", snags: "tree at 12 m" };
    await log("peg_note", peg, pegNoteBody(typed));
    const run = { distance_cm: 1000, ms: 14200 };
    await log("peg_note", peg, { depth_cm: null, float_run: run, rig_settles_cm: null, note: "" });
  },

  /** Long enough to go packed. */
  async packed({ log }) {
    for (let net = 1; net <= 3; net += 1) {
      await log("weigh_in", peg, { net, weight: 1000 * net, unit: "g", witness: "Maud Ferris" });
    }
    for (let minute = 0; minute < 12; minute += 1) {
      await log("feed_note", peg, { bait: "caster", amount: "0.25", unit: "pint", line: "long", stage: 0 });
    }
  },

  async jarAndThrows({ log, own, match, mate }) {
    const { pegNoteBody } = await own("peg-notes.js");
    const of = { match, author: mate };
    await log("feed_test", peg, { bait: "caster", jar_cm: 30, ms: 6210 });
    await log("feed_test", peg, { bait: "hemp", floats: true });
    await log("feed_test", peg, { bait: "caster", aside: of });
    await log("feed_test", peg, { bait: "caster", again: of });
    const thrown = await log("feed_throw", peg, { bait: "caster", upstream_cm: 640, out_cm: 1200, rod_cm: 390 });
    await log("feed_throw", peg, { bait: "caster", upstream_cm: 600, out_cm: null, rod_cm: null }, thrown);
    await log("feed_throw", peg, { ball_mm: 80, upstream_cm: -60, out_cm: null, rod_cm: null });
    const typed = { depth: "240", distance: "", seconds: "", settles: "300", note: "", snags: "", celsius: "9.4" };
    await log("peg_note", peg, pegNoteBody(typed));
    await log("peg_note", peg, {
      depth_cm: null, float_run: null, rig_settles_cm: 320, rig_settles_ms: 8200, note: "",
    });
    await log("line_note", peg, { line: "short" });
    await log("line_note", peg, { line: "" });
  },
};
