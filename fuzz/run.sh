#!/usr/bin/env bash
# Fuzzes one target for so many minutes, on stable Rust: fuzz/run.sh MINUTES TARGET, 1 or more.
# The targets are those of fuzz/targets. Seeds: the repository's own programs and the packed cases of
# the reader. What is found is left in fuzz/found/TARGET, and the new corpus in fuzz/corpus/TARGET.
set -euo pipefail
if [ $# -ne 2 ] || ! [ "$1" -ge 1 ]; then
    sed -n '2,4s/^# //p' "$0"
    exit 2
fi
minutes=$1 target=$2
cd "$(dirname "$0")"
host=$(rustc -vV | sed -n 's/^host: //p')
build=${CARGO_TARGET_DIR:-target}
coverage="-Cpasses=sancov-module"
for flag in level=4 inline-8bit-counters pc-table trace-compares; do
    coverage+=" -Cllvm-args=-sanitizer-coverage-$flag"
done
# With --target, the flags are for the targets and not for what builds them.
RUSTFLAGS="--cfg fuzzing -Ccodegen-units=1 $coverage" \
    cargo build --release --locked --target "$host" --bin "$target"
seeds=$(mktemp -d)
trap 'rm -rf "$seeds"' EXIT
find ../crates/prove/tests/programs ../demo -name '*.nc' -exec cp -n {} "$seeds" ';'
for cases in cases faults; do
    ./unpack.sh "../crates/nc/tests/holds/$cases.txt" "$seeds" "$cases"
done
mkdir -p "corpus/$target" "found/$target"
# One try of the prover takes seconds, and far longer where others share the processor.
time nice "$build/$host/release/$target" \
    -max_total_time=$((minutes * 60)) -timeout=120 -max_len=4096 -dict=words.dict \
    -print_final_stats=1 -artifact_prefix="found/$target/" "corpus/$target" "$seeds"
