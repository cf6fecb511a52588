#!/usr/bin/env bash
# The editors' packages, each as its editor takes it, into the folder named. With `--program FILE --notices FOLDER`
# only the extension for VS Code with that program in it, for systems like this one. What needs npm is left out, and
# said so, where it is missing.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
program=
notices=
while [ $# -gt 1 ]; do
  case "$1" in
    --program) program="$(realpath "$2")" ;;
    --notices) notices="$(realpath "$2")" ;;
    *) echo "not known: $1" >&2; exit 2 ;;
  esac
  shift 2
done
mkdir -p "${1:?a folder to put them in}"
out="$(cd "$1" && pwd)"
version="$(sed -n 's/^version = "\(.*\)"/\1/p' "$here/../Cargo.toml" | head -1)"

# The editor's own name for a system.
system() {
  case "$(uname -s)-$(uname -m)" in
    Linux-x86_64) echo linux-x64 ;;
    Linux-aarch64) echo linux-arm64 ;;
    Darwin-x86_64) echo darwin-x64 ;;
    Darwin-arm64) echo darwin-arm64 ;;
    MINGW*-x86_64 | MSYS*-x86_64) echo win32-x64 ;;
    *) echo "the extension has no name for $(uname -sm)" >&2; exit 1 ;;
  esac
}

extension() {
  cd "$here/vscode"
  [ -d node_modules/@vscode/vsce ] || npm ci --no-audit --no-fund
  cp "$here/../LICENSE" LICENSE
  rm -rf bin
  if [ -z "$program" ]; then
    npm run --silent package
    mv springline.vsix "$out/springline-$version.vsix"
  else
    trap 'rm -rf "$here/vscode/bin"' EXIT
    mkdir bin
    cp "$program" "$notices"/{THIRD-PARTY-NOTICES.txt,RUST-LIBRARY-NOTICES.html} bin
    npm run --silent package -- --target "${SPRINGLINE_SYSTEM:-$(system)}"
    mv springline.vsix "$out/springline-${SPRINGLINE_SYSTEM:-$(system)}-$version.vsix"
  fi
}

if command -v npm >/dev/null; then
  (extension)
else
  echo "left out: the extension for VS Code, because npm is not installed"
fi
[ -z "$program" ] || exit 0
# The folder for Vim reads colours and indentation from that for Neovim.
tar -C "$here" --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner \
  -czf "$out/springline-vim-$version.tar.gz" vim neovim
for editor in neovim emacs helix kakoune git; do
  tar -C "$here" --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner \
    -czf "$out/springline-$editor-$version.tar.gz" "$editor"
done
