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
/** @param {string} name @param {string} contents what the module hands out */
const bundled = (name, contents) => build({
  stdin: { contents, resolveDir: here },
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  legalComments: "none",
  outfile: `${to}/${name}.js`,
});
await bundled(
  "lit",
  'export { html, svg, nothing, render, LitElement } from "lit";' +
    'export { repeat } from "lit/directives/repeat.js";',
);
await bundled("lean-qr", 'export { correction, generate, mode } from "lean-qr";');
await bundled("jsqr", 'import jsqr from "jsqr"; export const jsQR = jsqr.default ?? jsqr;');
// As published, without the pointer to a map that is not here.
const dexie = await readFile(`${from}/dexie/dist/modern/dexie.min.mjs`, "utf8");
await writeFile(`${to}/dexie.js`, dexie.replace(/\n\/\/# sourceMappingURL=.*\s*$/, "\n"));
for (const name of ["lit", "lean-qr", "jsqr"]) {
  await copyFile(`${from}/${name}/LICENSE`, `${to}/${name}.LICENSE.txt`);
}
await copyFile(`${from}/dexie/NOTICE`, `${to}/dexie.NOTICE.txt`);
await copyFile(`${from}/dexie/LICENSE`, `${to}/dexie.LICENSE.txt`);

// For the type checker alone, which finds them beside the modules.
await writeFile(
  `${to}/lit.d.ts`,
  'export { html, svg, nothing, render, LitElement } from "lit";\n' +
    'export { repeat } from "lit/directives/repeat.js";\n',
);
await writeFile(`${to}/dexie.d.ts`, 'export { Dexie } from "dexie";\n');
await writeFile(`${to}/lean-qr.d.ts`, 'export { correction, generate, mode } from "lean-qr";\n');
await writeFile(`${to}/jsqr.d.ts`, 'export { default as jsQR } from "jsqr";\n');

const lines = [];
for (const name of (await readdir(to)).sort()) {
  if (name === "SHA256SUMS") continue;
  const sum = createHash("sha256").update(await readFile(`${to}/${name}`)).digest("hex");
  lines.push(`${sum}  ${name}`);
}
await writeFile(`${to}/SHA256SUMS`, lines.join("\n") + "\n");
console.log(`shell/vendor: ${lines.length} files written`);
