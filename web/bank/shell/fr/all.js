// @ts-check
/** All words in French, by the name of their group. */
import { care } from "./care.js";
import { carry } from "./carry.js";
import { drawer } from "./drawer.js";
import { feed } from "./feed.js";
import { feel } from "./feel.js";
import { fish } from "./fish.js";
import { jar } from "./jar.js";
import { lacks } from "./lacks.js";
import { match } from "./match.js";
import { pass } from "./pass.js";
import { peg } from "./peg.js";
import { phone } from "./phone.js";
import { plan } from "./plan.js";
import { day, many, shared, units } from "./shared.js";
import { swim } from "./swim.js";
import { throwing } from "./throwing.js";

/** @type {Record<string, object>} */
export const all = {
  care, carry, day, drawer, feed, feel, fish, jar, lacks, many, match, pass, peg, phone, plan, shared,
  swim, throw: throwing, units,
};
