// Which program is run: the one that a setting names, else the one that came with the extension, else whatever
// `springline` is on the path.
const fs = require("fs");
const path = require("path");

function choose(configured, extension, platform = process.platform) {
  if (configured.trim() !== "") return configured.trim();
  const bundled = path.join(extension, "bin", platform === "win32" ? "springline.exe" : "springline");
  return fs.existsSync(bundled) ? bundled : "springline";
}

module.exports = { choose };
