// The signals of a day: what is planned, what was given, what comes next, what changed.
import assert from "node:assert/strict";
import { test } from "node:test";
import { givenTimes, planned, signalsOf, standing, timesWas } from "../../web/bank/shell/clock.js";
import { inTurn, timeText } from "../../web/bank/shell/times.js";

const MATCH = {
  draw_at: "2026-06-20T06:15:00.000Z",
  prepare_at: "2026-06-20T06:45:00.000Z",
  feed_at: "2026-06-20T08:20:00.000Z",
  start_at: "2026-06-20T08:30:00.000Z",
  end_at: "2026-06-20T12:30:00.000Z",
  last_call_min: 5,
};
const at = (text) => Date.parse(`2026-06-20T${text}:00.000Z`);
let ids = 0;

/** A signal tapped on a phone whose clock stands `offset` off the server's. */
function tap(signal, text, over = {}) {
  const id = `f${ids++}`;
  const recorded_at = new Date(at(text)).toISOString();
  const fact = {
    id, kind: "signal", recorded_at, clock_offset_ms: 0, supersedes: null, body: { signal }, ...over,
  };
  return { fact, own: null, author: null };
}

// The times are those of a float final in Italy in 2020: enter 07:15, control 07:45, heavy feeding
// 09:20 (here 10:20), start 09:30, five minutes 13:25, end 13:30 (one secondary source).
test("the last call comes its minutes before the end, and what has no time is left out", () => {
  assert.deepEqual(planned(MATCH).map(([name, time]) => [name, timeText(time, "UTC")]), [
    ["draw", "06:15"], ["prepare", "06:45"], ["feed", "08:20"], ["start", "08:30"],
    ["last_call", "12:25"], ["end", "12:30"],
  ]);
  const bare = { start_at: MATCH.start_at, end_at: MATCH.end_at, last_call_min: 0, draw_at: null };
  assert.deepEqual(planned(bare).map(([name]) => name), ["start", "end"]);
});

test("a package of the build before has its start, its end and five minutes", () => {
  const old = { start_at: MATCH.start_at, end_at: MATCH.end_at };
  assert.deepEqual(planned(old).map(([name]) => name), ["start", "last_call", "end"]);
});

test("times are said in the venue's zone whatever the phone's", () => {
  assert.equal(timeText(at("08:30"), "Europe/London"), "09:30");
  assert.equal(timeText(at("08:30"), "Europe/Warsaw"), "10:30");
});

test("the next signal is the first still to come", () => {
  const next = (text) => standing(signalsOf(MATCH, []), at(text)).next?.name ?? null;
  assert.deepEqual(["06:00", "06:15", "08:00", "08:29", "08:30", "12:25", "12:30"].map(next), [
    "draw", "prepare", "feed", "start", "last_call", "end", null,
  ]);
});

test("a signal given counts at its real time, and what stands before it is past", () => {
  const early = standing(signalsOf(MATCH, [tap("start", "08:10")]), at("08:11"));
  assert.equal(early.next?.name, "last_call");
  assert.deepEqual([...early.passed], ["draw", "prepare", "feed", "start"]);
  const late = signalsOf(MATCH, [tap("start", "08:37")]);
  const start = late.find((s) => s.name === "start");
  assert.deepEqual([start?.planned, start?.given, start?.at], [at("08:30"), at("08:37"), at("08:37")]);
  assert.equal(standing(late, at("08:40")).next?.name, "last_call");
});

test("given early, the end is the end", () => {
  const { next } = standing(signalsOf(MATCH, [tap("end", "12:00")]), at("12:01"));
  assert.equal(next, null);
});

test("of two taps the first counts, and one taken back does not", () => {
  const [first, second] = [tap("start", "08:31"), tap("start", "08:32")];
  assert.equal(givenTimes([second, first]).get("start"), at("08:31"));
  const back = { ...tap("start", "08:33"), };
  back.fact.kind = "scratch";
  back.fact.supersedes = first.fact.id;
  assert.equal(givenTimes([first, second, back]).get("start"), at("08:32"));
});

test("a phone's wrong clock is set right by the server's before its tap is shown", () => {
  const fact = tap("start", "03:30", { clock_offset_ms: 5 * 3_600_000 });
  assert.equal(givenTimes([fact]).get("start"), at("08:30"));
});

test("a changed time is told with what it was, until it is back", () => {
  const later = { ...MATCH, end_at: "2026-06-20T13:00:00.000Z", feed_at: null };
  const was = timesWas(MATCH, later);
  assert.deepEqual(was, { feed: at("08:20"), last_call: at("12:25"), end: at("12:30") });
  const again = timesWas(later, { ...later, end_at: "2026-06-20T13:30:00.000Z" }, was);
  assert.equal(again.end, at("12:30"));
  assert.deepEqual(timesWas(later, MATCH, was), {});
  assert.deepEqual(timesWas({ ...MATCH, draw_at: null }, MATCH), { draw: null });
});

test("what is fetched first, or was held by the build before, has not changed", () => {
  assert.deepEqual(timesWas(undefined, MATCH), {});
  assert.deepEqual(timesWas({ start_at: MATCH.end_at, end_at: MATCH.end_at }, MATCH), {});
});

test("what one phone wrote stands in the order of its numbers, though its clock was set right between", () => {
  const wrote = (device, seq, second, offset) => ({ fact: {
    id: `${device}${seq}`, device, seq, clock_offset_ms: offset,
    recorded_at: new Date(at("09:00") + second * 1000).toISOString(),
  } });
  const three = [wrote("a", 3, 2.5, 0), wrote("a", 1, 1.9, 0), wrote("a", 2, 2.1, 900)];
  const others = [wrote("b", 7, 2.95, 0), wrote("b", 6, 60, 0), wrote("b", 5, 1, 0)];
  assert.deepEqual(inTurn([...three, ...others]).map((k) => k.fact.id), ["b5", "a1", "a2", "a3", "b6", "b7"]);
});

test("once the pegs are drawn nobody is counted down to the draw, though its hour is still to come", () => {
  const early = at("05:00");
  assert.equal(standing(signalsOf({ ...MATCH, state: "planned" }, []), early).next.name, "draw");
  const { next, passed } = standing(signalsOf({ ...MATCH, state: "drawn" }, []), early);
  assert.deepEqual([next.name, [...passed]], ["prepare", ["draw"]]);
});
