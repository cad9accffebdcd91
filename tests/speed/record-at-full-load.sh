#!/usr/bin/env bash
# What recording four buses at full load costs: 8,000 frames a second each, paced by the clock, come through a pipe into
# `busscope record -`. Prints the processor time as a share of one core, and what the recording says of itself.
# usage: record-at-full-load.sh PROGRAM [SECONDS]
set -euo pipefail
program=$(realpath "${1:?usage: $0 PROGRAM [SECONDS]}")
seconds=${2:-20}
command -v python3 >/dev/null || { echo "python3 is needed, to pace the frames"; exit 1; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

cat >"$folder/feed.py" <<'PY'
import struct, sys, time

RATE, seconds, out = 32_000, float(sys.argv[1]), sys.stdout.buffer

def block(kind, body):
    return struct.pack("<II", kind, len(body) + 12) + body + struct.pack("<I", len(body) + 12)

def option(code, value):
    return struct.pack("<HH", code, len(value)) + value + bytes(-len(value) % 4)

out.write(block(0x0A0D0D0A, struct.pack("<IHHq", 0x1A2B3C4D, 1, 0, -1)))
for bus in range(4):
    out.write(block(1, struct.pack("<HHI", 227, 0, 0) + option(2, b"bus%d" % bus) + option(9, b"\x09") + option(0, b"")))
start, sent, epoch = time.monotonic(), 0, time.time_ns()
while sent < RATE * seconds:
    due = min(int((time.monotonic() - start) * RATE), int(RATE * seconds))
    blocks = []
    for n in range(sent, due):
        at = epoch + n * 1_000_000_000 // RATE
        record = struct.pack(">IB3x", 0x100 + n % 64, 8) + struct.pack("<Q", n)
        blocks.append(block(6, struct.pack("<IIIII", n % 4, at >> 32, at & 0xFFFFFFFF, 16, 16) + record))
    out.write(b"".join(blocks))
    out.flush()
    sent = due
    time.sleep(0.005)
PY

TIMEFORMAT='%U %S'
python3 "$folder/feed.py" "$seconds" | { time "$program" record - --out "$folder/load.pcapng" >"$folder/said" 2>&1; } 2>"$folder/times"
sed "s|$folder/||" "$folder/said"
awk -v s="$seconds" '{ printf "%.2f s of processor time in %s s: %.1f %% of one core\n", $1 + $2, s, 100 * ($1 + $2) / s }' "$folder/times"
