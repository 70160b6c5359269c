#!/usr/bin/env bash
# Packs a few texts of the campaigns, none above a kilobyte, that between them reach every place of
# the reader that any such text reaches, as hexadecimal, shortest first: fuzz/pack.sh
# Run fuzz/run.sh for `read` before it. The cases packed before are kept where they still reach
# something new. What showed a fault stands in faults.txt, by hand.
set -euo pipefail
cd "$(dirname "$0")"
host=$(rustc -vV | sed -n 's/^host: //p')
cases=../crates/nc/tests/holds/cases.txt
all=$(mktemp -d) least=$(mktemp -d)
trap 'rm -rf "$all" "$least"' EXIT
./unpack.sh "$cases" "$all" case
for folder in corpus/read corpus/print; do
    # A campaign that still runs takes texts away while they are copied.
    find "$folder" -type f -size -2k -exec cp {} "$all" ';' 2>/dev/null || true
done
nice "${CARGO_TARGET_DIR:-target}/$host/release/read" \
    -set_cover_merge=1 -use_counters=0 "$least" "$all"
{
    echo '# Texts that fuzzing found, in hexadecimal; written by fuzz/pack.sh.'
    find "$least" -type f -exec sh -c 'xxd -p "$1" | tr -d "\n"; echo' sh {} ';' |
        awk '{ print length, $0 }' | sort -n | cut -d' ' -f2-
} >"$cases"
