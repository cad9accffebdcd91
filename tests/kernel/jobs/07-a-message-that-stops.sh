# The ritual after a change, on a live bus: GO early when all is well, NO-GO when a message stops, inconclusive when the adapter was away.
ip link add tvcan0 type vcan
ip link set tvcan0 up
bus pulse tvcan0 101 20 3000 0102030405060708 &
steady=$!
bus pulse tvcan0 102 100 600 0102030405060708 &
slow=$!
status=0; /tmp/busscope check tvcan0 --defs /mnt/jobs/three.yaml >good 2>said || status=$?
cat said
cat good
test $status -eq 0
grep -q '^GO$' good
grep -q 'clear after' said
(sleep 3; kill $steady) &
status=0; /tmp/busscope check tvcan0 --defs /mnt/jobs/three.yaml --for 30s >bad 2>said || status=$?
cat bad said
test $status -eq 1
grep -q '^NO-GO$' bad
grep -q 'Steady' bad
bus pulse tvcan0 101 20 3000 0102030405060708 &
steady=$!
(sleep 2; ip link set tvcan0 down; sleep 1; ip link set tvcan0 up) &
status=0; /tmp/busscope check tvcan0 --defs /mnt/jobs/three.yaml --for 8s --whole >away 2>said || status=$?
cat away
test $status -eq 1
grep -q '^INCONCLUSIVE$' away
kill $steady $slow
