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
    printf '\n%s\n' "$@"
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

say "A folder of engine definitions, each from another source of numbers. Are they consistent, and" \
    "will the field device turn the rotor to every blade with them?"
run 0 check --device bench-9.device.yaml .

say "They are. So they go into one table for the device ..."
run 0 compile --device bench-9.device.yaml -o fleet.rotor .

say "... which says what the device will know, in words."
run 0 show fleet.rotor

say "This is where the blades of one stage will stand: the device's counts, how far off the blade" \
    "each whole count is, and when it gets there."
run 0 stops --device bench-9.device.yaml --stage HPC-1 harrow-20.engine.yaml

say "Now somebody copies a tooth count from the wrong line of the drawing: 33 for 37."
sed -i 's/teeth: \[19, 37\]/teeth: [19, 33]/' harrow-20.engine.yaml
run 1 check harrow-20.engine.yaml

say "The path and the ratio from the manual disagree, and nothing is compiled until a human has" \
    "found out which of the two is true."
