# Emulated controllers on one wire: set up by BusScope itself to listen only, told so, and receiving what the other one sends.
set -- $(ls /sys/class/net | grep "^can")
sender=$1
listener=$2
interface link set $sender type can bitrate 500000
interface link set $sender up
/tmp/busscope adapters >before
cat before
grep -q "^$listener *down" before
grep -q "ip link set $listener type can bitrate BITRATE listen-only on" before
status=0; /tmp/busscope record $listener --out all.pcapng --set-up 2>said || status=$?
cat said
test $status -eq 3
grep -q 'without a bit rate' said
/tmp/busscope record chassis=$listener --out all.pcapng --set-up --bitrate chassis=500k 2>notes &
recorder=$!
listening $listener
interface -details link show $listener | tee shown
grep -q 'bitrate 500000' shown
grep -qi 'LISTEN-ONLY' shown
/tmp/busscope adapters --format json >now
cat now
grep -q '"listen_only": true' now
grep -q '"bit_rate": 500000' now
bus flood $sender 100 100
sleep 1
kill $recorder
wait $recorder
cat notes
bus dump all.pcapng >read
wc -l read
test "$(wc -l <read)" -eq 100
/tmp/busscope summary all.pcapng | tee summary
grep -q chassis summary
# One that takes part in the bus is told so, with what to type.
interface link set $listener down
interface link set $listener type can bitrate 500000 listen-only off
interface link set $listener up
/tmp/busscope adapters | tee after
grep -q 'NOT in listen-only mode' after
grep -q "ip link set $listener type can bitrate 500000 listen-only on" after
interface link set $listener down
# A rate that the controller cannot make is refused, and an interface that was on is on afterwards.
status=0; /tmp/busscope record $sender --set-up --bitrate 1234567 --out no.pcapng 2>said || status=$?
cat said
test $status -eq 3
grep -q 'cannot make a bit rate of 1234.567 kbit' said
interface link show $sender | grep -q UP
interface link set $sender down
