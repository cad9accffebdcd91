# The states of a controller, from the kernel's own code for CAN devices: warning, passive, bus-off, and the restart after it.
insmod /modules/pair.ko
interface link set pair0 type can bitrate 500000 restart-ms 1500
interface link set pair1 type can bitrate 250000 listen-only on
interface link set pair0 up
interface link set pair1 up
state() { /tmp/busscope adapters | tee now | sed -n "s/^pair0 *\(up, [a-z]* [a-z]*\|bus off\) .*/\1/p"; }
is() { test "$(state)" = "$1" || { echo "not: $1"; cat now; false; }; }
/tmp/busscope record pair0 pair1 --out all.pcapng 2>notes &
recorder=$!
listening pair0
is 'up, error active'
echo 100 3 >/sys/class/net/pair0/wire/errors
is 'up, error warning'
echo 140 3 >/sys/class/net/pair0/wire/errors
is 'up, error passive'
grep -q 'error passive: most frames' now
echo 256 3 >/sys/class/net/pair0/wire/errors
is 'bus off'
sleep 3
is 'up, error active'
bus flood pair0 10 100
sleep 1
kill $recorder
wait $recorder || true
cat notes
grep -q 'pair0: it is NOT in listen-only mode' notes
if grep -q 'pair1: it is NOT' notes; then false; fi
# Warning, passive, bus-off and restart, each told once by the kernel; and the frames on both ends.
bus dump all.pcapng >read
cat read | head -n 6
test "$(grep -c '^err' read)" -eq 4
grep -q '^err 00000204 classic 8 00.08.00.00.00.00.64.03' read
test "$(grep -c '^11' read)" -eq 20
interface link set pair0 down
interface link set pair1 down
