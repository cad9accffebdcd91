# A recording whose program is killed outright, while frames come, is whole up to the last second, and both readers take it.
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
bus flood tvcan0 100000 1000 &
sender=$!
sleep 5
sent=$(cat /sys/class/net/tvcan0/statistics/tx_packets)
kill -9 $recorder
wait $recorder || true
kill $sender
status=0; bus dump all.pcapng >read || status=$?
test $status -eq 0 -o $status -eq 2
# A thousand a second: a second's worth may be missing, no more, and none from before.
read=$(wc -l <read)
echo "sent $sent, recorded $read"
test "$read" -ge $((sent - 1000))
test "$read" -gt 1000
/tmp/busscope summary all.pcapng --format json >summary || true
grep -q "\"frames\": $read" summary
