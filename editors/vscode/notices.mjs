// The licences of the packages that esbuild has put into what is given on.
// node notices.mjs METAFILE... OUT: each METAFILE is what `esbuild --metafile` has written.
import { readFileSync, readdirSync, writeFileSync } from "node:fs";

const metafiles = process.argv.slice(2, -1);
const out = process.argv.at(-1);
const inputs = metafiles.flatMap((file) => Object.keys(JSON.parse(readFileSync(file, "utf8")).inputs));
const folder = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//;
const folders = [...new Set(inputs.map((path) => folder.exec(path)?.[1]).filter(Boolean))].sort();
if (folders.length === 0) throw new Error(`${metafiles.join(", ")} names no packages`);
const parts = folders.map((path) => {
  const told = JSON.parse(readFileSync(`${path}/package.json`, "utf8"));
  const texts = readdirSync(path)
    .filter((name) => /^(licen[cs]e|copying|notice|thirdparty)/i.test(name))
    .map((name) => readFileSync(`${path}/${name}`, "utf8").trim());
  if (texts.length === 0) texts.push(`It comes without a file of its own and states: ${told.license}.`);
  return `${"-".repeat(80)}\n${told.name} ${told.version} (${told.license})\n${"-".repeat(80)}\n\n${texts.join("\n\n")}\n`;
});
writeFileSync(out, `What is built in here, and under which licences.\n\n${parts.join("\n")}`);
