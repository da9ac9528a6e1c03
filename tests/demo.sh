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

say "Here is a folder of engine definitions. One has tooth counts from a drawing. One has only a" \
    "rounded ratio from a book. One was counted on a real engine. Are they consistent?"
run 0 check engines

say "The released definitions go into one table for the field device. A draft is left out."
run 0 compile --device $device -o fleet.rotor engines

say "verify reads the table as a device reads it, and compares every stop with exact arithmetic." \
    "It also checks that these definitions make this table."
run 0 verify fleet.rotor --device $device --against engines

say "This is what the device now knows about the Quern 12:"
printf '\n  $ rotortab show fleet.rotor\n\n'
"$program" show fleet.rotor | sed -n '/^engine quern-12/,/^engine [^q]/{/^engine [^q]/!p;}'

say "Where does the ratio come from? explain goes through the gears, with the sense of each shaft:"
run 0 explain engines/quern-12.engine.yaml

say "These are the stops for the first compressor stage of the Quern 12. A count is a whole" \
    "number, and the place of a blade is not. No stop is off by more than half a count."
run 0 stops --device $device --stage HPC-1 engines/quern-12.engine.yaml

say "A second person read the numbers again, in other units and from the other end. Now the first" \
    "one types 34 blades where there are 43. No calculation finds that. The second reading does," \
    "and what was seen at the port agrees with it:"
mkdir slip
sed 's/blades: 43/blades: 34/' engines/quern-12.engine.yaml > slip/quern-12.engine.yaml
cp engines/quern-12.cross-check.yaml slip
run 1 check slip

say "Now somebody copies the last gear from the wrong line of the drawing: 44 teeth instead of" \
    "41. There is no second reading here, and the gears themselves show the mistake."
mkdir mistake
sed 's/\[21, 41\]/[21, 44]/' engines/quern-12.engine.yaml > mistake/quern-12.engine.yaml
run 1 check mistake

say "compile writes no table until somebody corrects one of the two. compare shows what the" \
    "mistake does on the engine:"
run 2 compare --device $device engines/quern-12.engine.yaml mistake/quern-12.engine.yaml

say "Later, somebody measures the backlash again. What does the new revision change on the engine?"
mkdir next
sed 's/^revision: 4/revision: 5/; s/backlash: 1.2 deg/backlash: 1.6 deg/' \
    engines/quern-12.engine.yaml > next/quern-12.engine.yaml
sed 's/revision: 4}/revision: 5}/; s/read-on: .*/read-on: 2026-07-01/; s/72 arcmin/96 arcmin/' \
    engines/quern-12.cross-check.yaml > next/quern-12.cross-check.yaml
run 1 compare --device $device engines/quern-12.engine.yaml next/quern-12.engine.yaml

say "This tool checks arithmetic, not the engine. The engine manufacturer's current manual, local" \
    "rules and licensed staff decide what is turned, and how."
