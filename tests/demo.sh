#!/bin/sh
# The demonstration: the main job from a folder of definitions to a table on a device, on invented
# engines. It works in a copy of engines-demo and leaves nothing behind. `make demo` runs it.
set -eu

program=${ROTORTAB:-build/rotortab}
program=$(cd "$(dirname "$program")" && pwd)/rotortab
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp -R engines-demo "$scratch"
cd "$scratch/engines-demo"

# Tells what comes next.
say() {
    echo
    printf '%s\n' "$@"
}

# Shows a command and runs it; its exit status must be the one named first.
run() {
    expected=$1
    shift
    printf '\n  $ rotortab %s\n\n' "$*"
    status=0
    "$program" "$@" 2>&1 || status=$?
    if [ "$status" -ne "$expected" ]; then
        echo "demo: exit status $status where $expected was expected" >&2
        exit 1
    fi
}

device=devices/slipway-4.device.yaml

say "A folder of engine definitions. One has tooth counts from a drawing, one only a ratio that a" \
    "book has rounded, one had to be counted on a real engine. Are they consistent?"
run 0 check engines

say "All but one are released. Those go into one table for the field device."
mkdir released
grep -l '"*status"*: "*released' engines/* | while read -r file; do cp "$file" released; done
run 0 compile --device $device -o fleet.rotor released

say "What the device will now know of the Quern 12:"
printf '\n  $ rotortab show fleet.rotor\n\n'
"$program" show fleet.rotor | sed -n '/^engine quern-12/,/^engine winnow-16/{/^engine winnow/!p;}'

say "Here the device will stop for the first compressor stage of the Quern 12. A count is a whole" \
    "number and a blade's place is not; what is left over never grows past half a count."
run 0 stops --device $device --stage HPC-1 engines/quern-12.engine.yaml

say "Now somebody copies the last gear from the wrong line of the drawing: 44 teeth for 41."
mkdir mistake
sed 's/\[21, 41\]/[21, 44]/' engines/quern-12.engine.yaml > mistake/quern-12.engine.yaml
run 1 check mistake

say "The path no longer agrees with the book's ratio nor with what was counted on the engine, so" \
    "nothing is compiled. And this is what it would have done on the engine:"
run 1 compare --device $device engines/quern-12.engine.yaml mistake/quern-12.engine.yaml

say "The arithmetic is checked; the engine is not. The engine manufacturer's current manual," \
    "local rules and licensed staff decide what is turned, and how."
