#!/usr/bin/env bash
# Writes each line of a file of packed cases, bytes in hexadecimal, as a file of its own:
# fuzz/unpack.sh CASES FOLDER NAME
set -euo pipefail
number=0
while read -r line; do
    case $line in '' | '#'*) continue ;; esac
    number=$((number + 1))
    printf '%b' "$(sed 's/../\\x&/g' <<<"$line")" >"$2/$3-$number"
done <"$1"
