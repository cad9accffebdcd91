# Frames that the kernel had taken in already are recorded when the interface is unplugged and when the recording is ended, though the
# program stood still; and what the kernel could not keep is told also when nothing comes after it.
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope record tvcan0 --out unplugged.pcapng 2>notes &
recorder=$!
listening tvcan0
until [ -s unplugged.pcapng ]; do usleep 50000; done
kill -STOP $recorder
bus flood tvcan0 500 0
ip link del tvcan0
kill -CONT $recorder
sleep 2
kill $recorder
wait $recorder || true
cat notes
test "$(bus dump unplugged.pcapng | wc -l)" -eq 500
ip link add tvcan0 type vcan
ip link set tvcan0 up
/tmp/busscope record tvcan0 --out ended.pcapng 2>notes &
recorder=$!
listening tvcan0
until [ -s ended.pcapng ]; do usleep 50000; done
kill -STOP $recorder
bus flood tvcan0 30000 0
kill $recorder
kill -CONT $recorder
wait $recorder || true
cat notes
taken=$(bus dump ended.pcapng | wc -l)
lost=$(sed -n 's/.*adapter-frames-lost.* \([0-9,]*\) .*/\1/p; s/^ *\([0-9,]*\) .*adapter-frames-lost.*/\1/p' notes | tr -d , | head -n 1)
echo "taken $taken, lost $lost"
test $((taken + lost)) -eq 30000
