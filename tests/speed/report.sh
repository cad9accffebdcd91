#!/usr/bin/env bash
# How large the report of a large capture is, and what writing it costs: publishes the native program, runs check with --report, and prints
# processor time, peak memory and the length of the page. It is at most 2 MB, or the script ends with 1.
# usage: report.sh CAPTURE DEFINITIONS
# BUSSCOPE=PROGRAM uses a program that is already published. Needs GNU time.
set -euo pipefail
capture=$(realpath "${1:?capture}")
definitions=$(realpath "${2:?definitions}")
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if [ -z "${BUSSCOPE:-}" ]; then
  dotnet publish src/BusScope.Cli -c Release -r linux-x64 -o "$work/published" >"$work/publish.log" || { cat "$work/publish.log"; exit 1; }
  BUSSCOPE=$work/published/busscope
fi

# Status 1 of check means that it found something: fine here.
status=0
/usr/bin/time -q -f '%e %U %S %M' -o "$work/time" "$BUSSCOPE" check "$capture" --defs "$definitions" --report "$work/report.html" >"$work/out" 2>"$work/err" || status=$?
if [ "$status" -gt 1 ]; then
  cat "$work/err"
  exit 1
fi

awk '{ printf "wall %.2f s, processor %.2f s, peak memory %d MB\n", $1, $2 + $3, $4 / 1024 }' "$work/time"
length=$(stat -c %s "$work/report.html")
echo "report: $length bytes (at most 2,000,000)"
[ "$length" -le 2000000 ]
