# With too little memory in the kernel frames are lost, and that is counted and said: what was taken and what was lost is what was sent.
# A process that stands still takes nothing: SIGSTOP makes it sure, whatever the machine.
ip link add tvcan0 type vcan
ip link set tvcan0 up
trap 'echo 212992 >/proc/sys/net/core/rmem_max' EXIT
echo 4096 >/proc/sys/net/core/rmem_max
chmod 777 .
bus as 65534 /tmp/busscope record tvcan0 --out all.pcapng 2>notes &
recorder=$!
listening tvcan0
kill -STOP $recorder
bus flood tvcan0 60000 0
kill -CONT $recorder
sleep 2
bus flood tvcan0 1 0
sleep 2
kill $recorder
wait $recorder || true
cat notes
grep -q 'keeps only some' notes
taken=$(bus dump all.pcapng | wc -l)
lost=$(sed -n 's/.*adapter-frames-lost.* \([0-9,]*\) .*/\1/p; s/^ *\([0-9,]*\) .*adapter-frames-lost.*/\1/p' notes | tr -d , | head -n 1)
echo "taken $taken, lost $lost"
test $((taken + lost)) -eq 60001
test "$lost" -gt 0
