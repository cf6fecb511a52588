// The mark of the sources in the first line of what is made of them: a test of the program, which needs no Node, finds
// by it that the page was not made anew. FNV-1a, 64 bit: it finds forgetfulness, not malice.
import { readFileSync, readdirSync } from "node:fs";

const sources = readdirSync("src").map((name) => `src/${name}`);
const files = [...sources, "page.html", "pick.html", "package-lock.json"].sort();
let hash = 0xcbf29ce484222325n;
for (const file of files) {
  for (const byte of Buffer.concat([Buffer.from(file), readFileSync(file)])) {
    hash = BigInt.asUintN(64, (hash ^ BigInt(byte)) * 0x100000001b3n);
  }
}
console.log(`springline desk ${hash.toString(16).padStart(16, "0")}, made by editors/desk/build; do not edit`);
