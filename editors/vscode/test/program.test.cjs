// node --test: which program the extension runs.
const assert = require("node:assert");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const test = require("node:test");
const { choose } = require("../src/program");

function extension(...inside) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "springline-extension-"));
  fs.mkdirSync(path.join(folder, "bin"));
  for (const name of inside) fs.writeFileSync(path.join(folder, "bin", name), "");
  return folder;
}

test("a setting comes before the program that came along", () => {
  assert.equal(choose("/opt/springline", extension("springline"), "linux"), "/opt/springline");
});

test("the program that came along comes before the path", () => {
  const folder = extension("springline", "springline.exe");
  assert.equal(choose("", folder, "linux"), path.join(folder, "bin", "springline"));
  assert.equal(choose(" ", folder, "win32"), path.join(folder, "bin", "springline.exe"));
});

test("without both it is looked for on the path", () => {
  assert.equal(choose("", extension(), "linux"), "springline");
  assert.equal(choose("springline", extension("springline"), "linux"), "springline");
});
