# Fifty thousand frames a second are all taken.
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope check tvcan0 --whole --defs /mnt/jobs/flood.yaml --format json >report 2>notes &
checker=$!
listening tvcan0
bus flood tvcan0 200000 50000
sleep 1
kill $checker
wait $checker || true
cat notes
grep '"frames"' report | head -n 1
grep -q '"frames": 200000' report
if grep -q adapter-frames-lost report; then false; fi
