// The licences of the packages that esbuild has put into the extension, for what is given on.
// node notices.mjs METAFILE OUT: METAFILE is what `esbuild --metafile` has written.
import { readFileSync, readdirSync, writeFileSync } from "node:fs";

const [metafile, out] = process.argv.slice(2);
const inputs = Object.keys(JSON.parse(readFileSync(metafile, "utf8")).inputs);
const folder = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//;
const folders = [...new Set(inputs.map((path) => folder.exec(path)?.[1]).filter(Boolean))].sort();
if (folders.length === 0) throw new Error(`${metafile} names no packages`);
const parts = folders.map((path) => {
  const told = JSON.parse(readFileSync(`${path}/package.json`, "utf8"));
  const texts = readdirSync(path)
    .filter((name) => /^(licen[cs]e|copying|notice|thirdparty)/i.test(name))
    .map((name) => readFileSync(`${path}/${name}`, "utf8").trim());
  if (texts.length === 0) texts.push(`It comes without a file of its own and states: ${told.license}.`);
  return `${"-".repeat(80)}\n${told.name} ${told.version} (${told.license})\n${"-".repeat(80)}\n\n${texts.join("\n\n")}\n`;
});
writeFileSync(out, `What is built in here, and under which licences.\n\n${parts.join("\n")}`);
