# A user without rights over the network receives all the same, is told how little the kernel keeps for him, and may not set up.
ip link add tvcan0 type vcan
ip link set tvcan0 up
chmod 777 .
bus as 65534 /tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0 || { cat notes; false; }
bus send tvcan0 >sent
sleep 1
kill $recorder
wait $recorder
cat notes
grep -q 'keeps only some' notes
grep -q 'sysctl -w net.core.rmem_max=' notes
bus dump all.pcapng | diff sent -
set -- $(ls /sys/class/net | grep '^can')
status=0; bus as 65534 /tmp/busscope record $1 --set-up --bitrate 500k --out no.pcapng 2>said || status=$?
cat said
test $status -eq 3
grep -q 'may not set up interfaces' said
grep -q 'listen-only on' said
# A folder that may not be written is told before anything is opened.
chmod 755 .
status=0; bus as 65534 /tmp/busscope record tvcan0 --out no.pcapng 2>said || status=$?
cat said
test $status -eq 3
