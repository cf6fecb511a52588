#!/usr/bin/env bash
# Builds the fuzz targets and runs each for a number of seconds (10 if left out): `tests/fuzz/run.sh 300 parse`.
# Seeds are the kept inputs in `corpus/`; what is found on the way goes to the target folder, a crash to
# `artifacts/`. With cargo-fuzz the same targets run under the address sanitizer:
# `RUSTC_BOOTSTRAP=1 cargo fuzz run parse`. Here the code has no `unsafe`, so the plain build finds what
# there is to find, and needs nothing that a stable toolchain lacks.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
cd "$here"
seconds="${1:-10}"
[ $# -gt 0 ] && shift
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(parse format compile seen mechanics server)
target="${CARGO_TARGET_DIR:-$here/target}"
triple="$(rustc -vV | sed -n 's/^host: //p')"

# Counters at every edge and comparisons told to the engine, as cargo-fuzz sets them.
sancov="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
  -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
  -Cllvm-args=-sanitizer-coverage-trace-compares --cfg fuzzing -Cdebug-assertions"
RUSTFLAGS="$sancov" CARGO_TARGET_DIR="$target" cargo build --release --bins --target "$triple"

for name in "${targets[@]}"; do
  found="$target/corpus/$name"
  mkdir -p "$found" "artifacts/$name" "corpus/$name"
  printf '\n== %s, %s s\n' "$name" "$seconds"
  log="$target/$name.log"
  if ! "$target/$triple/release/$name" "$found" "corpus/$name" -max_total_time="$seconds" -timeout=120 \
    -rss_limit_mb=2048 -max_len=2048 -print_final_stats=1 -artifact_prefix="artifacts/$name/" \
    >"$log" 2>&1; then
    tail -60 "$log"
    echo "$name: a finding is kept in tests/fuzz/artifacts/$name"
    exit 1
  fi
  grep -E "DONE|number_of_executed_units|peak_rss_mb" "$log" | tail -4
done
