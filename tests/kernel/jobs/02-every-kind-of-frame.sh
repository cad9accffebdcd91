# What the other side sent is what stands in the recording, frame for frame, read by the other side's own reader; and the times are those
# of the kernel: in order, and within the seconds of the test.
ip link add tvcan0 type vcan
ip link set tvcan0 mtu 72 up
from=$(date +%s)
/tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
bus send tvcan0 >sent
bus errors tvcan0 >>sent
sleep 1
kill $recorder
wait $recorder
bus dump all.pcapng >read
diff sent read
/tmp/busscope summary all.pcapng --format json >summary
until=$(date +%s)
grep -q '"frames": 41' summary || { head -5 summary; false; }
/tmp/busscope decode all.pcapng --defs /mnt/jobs/lengths.yaml >samples
tail -n +2 samples | cut -d, -f1 >times
sort -n times | diff times -
test "$(head -n 1 times | cut -d. -f1)" -ge "$from"
test "$(tail -n 1 times | cut -d. -f1)" -le "$until"
