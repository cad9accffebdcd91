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

# Wall time in milliseconds to $work/NAME, one line a run. Status 1 of check means that it found something: fine here.
timed() {
  local name=$1 start end status=0
  shift
  start=$(date +%s%N)
  "$@" >"$work/$name.out" 2>"$work/$name.err" || status=$?
  end=$(date +%s%N)
  if [ "$status" -gt 1 ]; then
    cat "$work/$name.err"
    exit 1
  fi
  echo $(((end - start) / 1000000)) | tee -a "$work/$name" | sed "s/^/$name ms: /"
}

for _ in $(seq "$runs"); do
  timed tcpdump tcpdump -r "$capture" -w /dev/null
  timed check "$BUSSCOPE" check "$capture" --defs "$definitions" --format json
done

median() { sort -n "$work/$1" | sed -n "$(((runs + 1) / 2))p"; }
awk -v ours="$(median check)" -v theirs="$(median tcpdump)" \
  'BEGIN { printf "median: check %d ms, tcpdump -w /dev/null %d ms, ratio %.2f\n", ours, theirs, ours / theirs }'

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
