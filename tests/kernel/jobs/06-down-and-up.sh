# An interface that is switched off and on, and one that is unplugged and returns under its name, are received from again; the time
# between is known not to have been seen, and the answer is not GO.
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
bus pulse tvcan0 111 10 20 01
ip link set tvcan0 down
sleep 0.5
ip link set tvcan0 up
sleep 0.5
bus pulse tvcan0 222 10 20 02
ip link del tvcan0
sleep 0.5
ip link add tvcan0 type vcan
sleep 0.2
ip link set tvcan0 up
sleep 1
bus pulse tvcan0 333 10 20 03
sleep 1
kill $recorder
wait $recorder || true
cat notes
bus dump all.pcapng | cut -d' ' -f2 | sort | uniq -c | tee counted
grep -q '20 111' counted
grep -q '20 222' counted
grep -q '20 333' counted
grep -q adapter-down notes
grep -q adapter-gone notes
