#!/usr/bin/env bash
# The editors' packages, each as its editor takes it, into the folder named. What needs npm is left out,
# and said so, where it is missing.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
mkdir -p "${1:?a folder to put them in}"
out="$(cd "$1" && pwd)"
version="$(sed -n 's/^version = "\(.*\)"/\1/p' "$here/../Cargo.toml" | head -1)"

if command -v npm >/dev/null; then
  cd "$here/vscode"
  [ -d node_modules/@vscode/vsce ] || npm ci --no-audit --no-fund
  cp "$here/../LICENSE" LICENSE
  npm run --silent package
  mv springline.vsix "$out/springline-$version.vsix"
else
  echo "left out: the extension for VS Code, because npm is not installed"
fi
# The folder for Vim reads colours and indentation from that for Neovim.
tar -C "$here" --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner \
  -czf "$out/springline-vim-$version.tar.gz" vim neovim
for editor in neovim emacs helix kakoune git; do
  tar -C "$here" --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner \
    -czf "$out/springline-$editor-$version.tar.gz" "$editor"
done
