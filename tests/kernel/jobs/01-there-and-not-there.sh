# What can be opened is listed, and what cannot be is said in one sentence.
ip link add tvcan0 type vcan
ip link set tvcan0 up
ip link add tvcan1 type vcan
/tmp/busscope adapters >list
cat list
grep -q '^tvcan0 *up ' list
grep -q '^tvcan1 *down ' list
grep -q 'ip link set tvcan1 up' list
status=0; /tmp/busscope check tvcan7 --defs /mnt/jobs/three.yaml 2>said || status=$?
test $status -eq 3; grep -q 'there is no such interface' said
status=0; /tmp/busscope check lo --defs /mnt/jobs/three.yaml 2>said || status=$?
test $status -eq 3; grep -q 'not one for CAN' said
status=0; /tmp/busscope check tvcan1 --defs /mnt/jobs/three.yaml 2>said || status=$?
test $status -eq 3; grep -q 'switched off' said
