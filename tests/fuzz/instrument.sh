#!/usr/bin/env bash
# Compiles our own crates so that the fuzzer sees which way they go; the libraries as ever, which is quicker
# to build and to run, and leaves the coverage that is reported to be ours. Called by cargo in place of rustc.
rustc="$1"
shift
case " $* " in
*" --crate-name springline_"*)
  # Counters at every edge, and comparisons told to the engine.
  exec "$rustc" "$@" -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
    -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
    -Cllvm-args=-sanitizer-coverage-trace-compares
  ;;
*) exec "$rustc" "$@" ;;
esac
