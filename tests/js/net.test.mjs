// What goes over the line: a long push packed, a short one plain.
import assert from "node:assert/strict";
import { test } from "node:test";
import { gunzipSync } from "node:zlib";

globalThis.document = { cookie: "csrftoken=t" };
const { factsPost, meGet } = await import("../../web/bank/shell/net.js");

/** What was sent, with the headers. */
async function sentBy(facts) {
  const sent = {};
  globalThis.fetch = async (_path, { headers, body }) => {
    Object.assign(sent, { headers, body });
    return new Response('{"protocol": 1}', { headers: { "Content-Type": "application/json" } });
  };
  await factsPost({ device: "d", app: "b1", facts });
  return sent;
}

test("a long push goes as gzip that unpacks to the same, a short one plain", async () => {
  const facts = Array.from({ length: 300 }, (_, seq) => ({ seq, kind: "feed_note", body: { bait: "caster" } }));
  const { headers, body } = await sentBy(facts);
  assert.equal(headers["Content-Encoding"], "gzip");
  const packed = Buffer.from(await body.arrayBuffer());
  assert.deepEqual(JSON.parse(gunzipSync(packed)).facts, facts);
  assert.ok(packed.length < JSON.stringify(facts).length / 5);
  const short = await sentBy(facts.slice(0, 3));
  assert.equal(short.headers["Content-Encoding"], undefined);
  assert.deepEqual(JSON.parse(short.body).facts, facts.slice(0, 3));
});

for (const [person, kind] of [[null, "sign_in"], [{ id: "7", name: "Maud" }, "ok"]]) {
  test(`an answer that names ${person ? "somebody" : "nobody"} is ${kind}`, async () => {
    const headers = { "Content-Type": "application/json" };
    globalThis.fetch = async () => new Response(JSON.stringify({ protocol: 1, person }), { headers });
    assert.equal((await meGet()).kind, kind);
  });
}
