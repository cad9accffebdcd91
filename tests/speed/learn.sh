#!/usr/bin/env bash
# How long `learn` takes as it is shipped, and how much memory: publishes the native program, runs it, and prints wall and processor time and
# the peak memory of each run. The processor time is at most 10 s and the memory at most 300 MB, or the script ends with 1.
# usage: learn.sh CAPTURE [RUNS]
#   CAPTURE  a large capture (docs/performance.md says which)
#   RUNS     how often (default 3)
# BUSSCOPE=PROGRAM uses a program that is already published. Needs GNU time.
set -euo pipefail
capture=$(realpath "${1:?capture}")
runs=${2:-3}
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if [ -z "${BUSSCOPE:-}" ]; then
  dotnet publish src/BusScope.Cli -c Release -r linux-x64 -o "$work/published" >"$work/publish.log" || { cat "$work/publish.log"; exit 1; }
  BUSSCOPE=$work/published/busscope
fi

cat "$capture" >/dev/null # into the page cache
for _ in $(seq "$runs"); do
  /usr/bin/time -f '%e %U %S %M' -o "$work/time" "$BUSSCOPE" learn "$capture" --out "$work/baseline.yaml" --force >"$work/out"
  awk '{ printf "wall %.2f s, processor %.2f s, peak memory %d MB\n", $1, $2 + $3, $4 / 1024 }' "$work/time"
  awk '{ print $2 + $3, $4 / 1024 }' "$work/time" >>"$work/all"
done

"$BUSSCOPE" define check "$work/baseline.yaml"

# On a machine that does other work besides, only the processor time says something.
sort -n "$work/all" | awk '{ time[NR] = $1; memory = $2 > memory ? $2 : memory }
  END { median = time[int((NR + 1) / 2)]; printf "median processor time %.2f s (at most 10), peak memory %d MB (at most 300)\n", median, memory; exit median > 10 || memory > 300 }'
