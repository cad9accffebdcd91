# Two interfaces in one session under the names of their buses: every frame once, in order of time over both.
ip link add tvcan0 type vcan
ip link add tvcan1 type vcan
ip link set tvcan0 up
ip link set tvcan1 up
/tmp/busscope record chassis=tvcan0 cabin=tvcan1 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
listening tvcan1
bus flood tvcan0 20000 8000 &
first=$!
bus flood tvcan1 20000 8000
wait $first
sleep 1
kill $recorder
wait $recorder
cat notes
/tmp/busscope summary all.pcapng --format json >summary
grep -q '"name": "chassis"' summary
grep -q '"name": "cabin"' summary
test "$(grep -c '"frames": 20000' summary)" -eq 2
# What is wrong with the order of times would be told here.
if grep -q 'time-steps-back\|buses-interleaved' summary; then cat summary; false; fi
status=0; /tmp/busscope record tvcan0 x=tvcan0 --out twice.pcapng 2>said || status=$?
test $status -eq 2
grep -q 'named twice' said
