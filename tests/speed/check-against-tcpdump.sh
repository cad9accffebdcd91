#!/usr/bin/env bash
# How long `check` takes as it is shipped, beside a general-purpose reader of the same file: publishes the native program,
# then runs both in turn and prints each run, the ratio of the medians, and the peak memory.
# usage: check-against-tcpdump.sh CAPTURE DEFINITIONS [RUNS]
#   CAPTURE      a large pcapng file with link type 227
#   DEFINITIONS  its definition file
#   RUNS         how often each (default 5)
# BUSSCOPE=PROGRAM uses a program that is already published.
set -euo pipefail
capture=$(realpath "${1:?capture}")
definitions=$(realpath "${2:?definitions}")
runs=${3:-5}
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if [ -z "${BUSSCOPE:-}" ]; then
  dotnet publish src/BusScope.Cli -c Release -r linux-x64 -o "$work/published" >"$work/publish.log" || { cat "$work/publish.log"; exit 1; }
  BUSSCOPE=$work/published/busscope
fi

cat "$capture" >/dev/null # into the page cache, for both alike

# Wall and processor time in milliseconds to $work/NAME, one line a run. Status 1 of check means that it found something: fine here.
TIMEFORMAT='%3R %3U %3S'
timed() {
  local name=$1 status=0
  shift
  { time "$@" >"$work/$name.out" 2>"$work/$name.err" || status=$?; } 2>"$work/time"
  if [ "$status" -gt 1 ]; then
    cat "$work/$name.err"
    exit 1
  fi
  awk '{ printf "%d %d\n", $1 * 1000, ($2 + $3) * 1000 }' "$work/time" | tee -a "$work/$name" | sed "s/^/$name, wall and processor ms: /"
}

for _ in $(seq "$runs"); do
  timed tcpdump tcpdump -Z root -r "$capture" -w /dev/null
  timed check "$BUSSCOPE" check "$capture" --defs "$definitions" --format json
done

# On a machine that does other work besides, only the processor time says something.
median() { cut -d' ' -f"$2" "$work/$1" | sort -n | sed -n "$(((runs + 1) / 2))p"; }
for kind in 1 2; do
  awk -v ours="$(median check $kind)" -v theirs="$(median tcpdump $kind)" -v kind=$kind \
    'BEGIN { printf "median %s time: check %d ms, tcpdump -w /dev/null %d ms, ratio %.2f\n", kind == 1 ? "wall" : "processor", ours, theirs, ours / theirs }'
done

# The high-water mark, as the kernel keeps it.
"$BUSSCOPE" check "$capture" --defs "$definitions" --format json >/dev/null 2>&1 &
checked=$!
peak=0
while line=$(grep VmHWM "/proc/$checked/status" 2>/dev/null); do
  kilobytes=$(tr -dc 0-9 <<<"$line")
  [ "$kilobytes" -gt "$peak" ] && peak=$kilobytes
  sleep 0.02
done
wait "$checked" || true
echo "peak memory: $((peak / 1024)) MB"
