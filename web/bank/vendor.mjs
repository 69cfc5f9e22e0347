/**
 * Writes shell/vendor/ anew from node_modules: each library as one module, its licence beside it,
 * and a list of checksums that a test compares. Run it as `npm ci && npm run vendor`.
 */
import { createHash } from "node:crypto";
import { copyFile, readdir, readFile, writeFile, mkdir } from "node:fs/promises";
import { build } from "esbuild";

const here = new URL(".", import.meta.url).pathname;
const from = `${here}node_modules`;
const to = `${here}shell/vendor`;

await mkdir(to, { recursive: true });
await build({
  stdin: {
    contents:
      'export { html, svg, nothing, render, LitElement } from "lit";' +
      'export { repeat } from "lit/directives/repeat.js";',
    resolveDir: here,
  },
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  legalComments: "none",
  outfile: `${to}/lit.js`,
});
// As published, without the pointer to a map that is not here.
const dexie = await readFile(`${from}/dexie/dist/modern/dexie.min.mjs`, "utf8");
await writeFile(`${to}/dexie.js`, dexie.replace(/\n\/\/# sourceMappingURL=.*\s*$/, "\n"));
await copyFile(`${from}/lit/LICENSE`, `${to}/lit.LICENSE.txt`);
await copyFile(`${from}/dexie/NOTICE`, `${to}/dexie.NOTICE.txt`);
await copyFile(`${from}/dexie/LICENSE`, `${to}/dexie.LICENSE.txt`);

// For the type checker alone, which finds them beside the modules.
await writeFile(
  `${to}/lit.d.ts`,
  'export { html, svg, nothing, render, LitElement } from "lit";\n' +
    'export { repeat } from "lit/directives/repeat.js";\n',
);
await writeFile(`${to}/dexie.d.ts`, 'export { Dexie } from "dexie";\n');

const lines = [];
for (const name of (await readdir(to)).sort()) {
  if (name === "SHA256SUMS") continue;
  const sum = createHash("sha256").update(await readFile(`${to}/${name}`)).digest("hex");
  lines.push(`${sum}  ${name}`);
}
await writeFile(`${to}/SHA256SUMS`, lines.join("\n") + "\n");
console.log(`shell/vendor: ${lines.length} files written`);
