# Error reports are taken and counted, and nothing that BusScope does puts a frame on the bus: a neighbour hears none.
ip link add tvcan0 type vcan
ip link set tvcan0 up
bus listen tvcan0 4000 >heard &
listener=$!
/tmp/busscope check tvcan0 --whole --defs /mnt/jobs/three.yaml --format json >report &
checker=$!
listening tvcan0
bus errors tvcan0 >sent
/tmp/busscope adapters >list
sleep 1
kill $checker
wait $checker || true
cat report | head -n 8
grep -q '"error_frames": 6' report
wait $listener
test "$(cat heard)" = 0
