# A recording whose program is killed outright is whole up to the last second, and both readers take it.
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
bus flood tvcan0 3000 1000
sleep 2
kill -9 $recorder
wait $recorder || true
status=0; bus dump all.pcapng >read || status=$?
test $status -eq 0 -o $status -eq 2
test "$(wc -l <read)" -eq 3000 || { wc -l read; false; }
/tmp/busscope summary all.pcapng --format json >summary
grep -q '"frames": 3000' summary
