#!/usr/bin/env bash
# The packaged extension in a real VS Code workbench (code-server) in a headless Chromium.
# Needs node 20, npm and chromium. SPRINGLINE_VSIX names an extension with the program in it, as `.ci/package vsix`
# makes it; else SPRINGLINE names the program, and a setting does. Leaves screenshots in $1.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
shots="${1:-$here/shots}"
cache="${SPRINGLINE_WORKBENCH:-${XDG_CACHE_HOME:-$HOME/.cache}/springline-workbench}"
vsix="${SPRINGLINE_VSIX:+$(realpath "${SPRINGLINE_VSIX:-}")}"
[ -n "$vsix" ] || program="${SPRINGLINE:?the springline program, or SPRINGLINE_VSIX}"
mkdir -p "$shots" "$cache"

if [ ! -f "$cache/node_modules/code-server/out/node/entry.js" ]; then
  # As npm's own scripts fail without headers that no plan needs, the parts are built one by one.
  cd "$cache"
  npm init -y >/dev/null
  npm install --ignore-scripts --no-audit --no-fund code-server@4.100.3
  cd node_modules/code-server/lib/vscode
  npm install --ignore-scripts --omit=dev --no-audit --no-fund
  ln -sfn node_modules node_modules.asar
  npm rebuild @vscode/spdlog native-watchdog
  (cd extensions && npm install --ignore-scripts --omit=dev --no-audit --no-fund)
  cd ../../../.. && npm rebuild argon2
fi
cd "$cache"
[ -d node_modules/playwright-core ] || npm install --ignore-scripts --no-audit --no-fund playwright-core

if [ -z "$vsix" ]; then
  cd "$here/.."
  [ -d node_modules/@vscode/vsce ] || npm install --no-audit --no-fund
  npm run package
fi

work="$(mktemp -d)"
server=""
trap '[ -n "$server" ] && kill "$server" 2>/dev/null; rm -rf "$work"' EXIT
export XDG_CONFIG_HOME="$work/config"
mkdir -p "$work/plans/.git" "$work/data/User" "$work/extensions"
cp "$here/../../../examples/saltmarsh.spring" "$work/plans/"
cp "$here/../../../examples/cases/sm-0417-lateral-blocked-out.spring" "$work/plans/case.spring"
cat > "$work/data/User/settings.json" <<JSON
{
  $([ -n "$vsix" ] || printf '"springline.path": "%s",' "$program")
  "security.workspace.trust.enabled": false,
  "telemetry.telemetryLevel": "off",
  "extensions.autoUpdate": false,
  "workbench.startupEditor": "none",
  "window.autoDetectColorScheme": true
}
JSON
entry="$cache/node_modules/code-server/out/node/entry.js"
folders=(--user-data-dir "$work/data" --extensions-dir "$work/extensions")
node "$entry" "${folders[@]}" --install-extension "${vsix:-$here/../springline.vsix}"
port="${SPRINGLINE_WORKBENCH_PORT:-8765}"
SPRINGLINE_TODAY=2026-11-24 node "$entry" --auth none --bind-addr "127.0.0.1:$port" \
  --disable-telemetry --disable-update-check "${folders[@]}" "$work/plans" >"$work/server.log" 2>&1 &
server=$!
NODE_PATH="$cache/node_modules" node "$here/workbench.cjs" "http://127.0.0.1:$port/?folder=$work/plans" "$work/plans" "$shots" \
  "${program:-$work/extensions}"
