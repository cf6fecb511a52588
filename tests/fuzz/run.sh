#!/usr/bin/env bash
# Builds the fuzz targets and runs each for a number of seconds (10 if left out): `tests/fuzz/run.sh 300 parse`.
# Seeds are the kept inputs in `corpus/`; what is found on the way goes to the target folder, a crash to
# `artifacts/`. Our code has no `unsafe`, so no sanitizer is needed, and a stable toolchain does.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
cd "$here"
seconds="${1:-10}"
[ $# -gt 0 ] && shift
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(parse format compile seen mechanics server)
target="${CARGO_TARGET_DIR:-$here/../../target}"

RUSTC_WRAPPER="$here/instrument.sh" CARGO_TARGET_DIR="$target" cargo build --locked --bins

for name in "${targets[@]}"; do
  found="$target/fuzz/$name"
  mkdir -p "$found" "artifacts/$name" "corpus/$name"
  printf '\n== %s, %s s\n' "$name" "$seconds"
  log="$target/fuzz/$name.log"
  if ! "$target/debug/$name" "$found" "corpus/$name" -max_total_time="$seconds" -timeout=120 \
    -rss_limit_mb=2048 -max_len=2048 -print_final_stats=1 -artifact_prefix="artifacts/$name/" \
    >"$log" 2>&1; then
    tail -60 "$log"
    echo "$name: a finding is kept in tests/fuzz/artifacts/$name"
    exit 1
  fi
  # Edges reached of all, executions, memory.
  grep -oE "Loaded 1 modules +\([0-9]+" "$log" | tail -1 || true
  grep -E "DONE|number_of_executed_units|peak_rss_mb" "$log" | tail -3
done
