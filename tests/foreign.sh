#!/bin/sh
# The whole program on other processors, each emulated: a 64-bit Arm, and a big-endian processor, on
# which a forgotten byte order shows. What it prints, and the bytes of its tables, are compared with
# this machine's. `make test-foreign` runs it.
#
#     foreign.sh PROGRAM
set -eu

program=$1
here=$PWD
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# Compiles the demonstration for each device, one engine a table, by a program into a folder. The
# smallest device cannot hold every engine; what the program says then is compared as well.
tables() {
    mkdir -p "$2"
    for device in "$here"/engines-demo/devices/*.device.yaml; do
        for engine in "$here"/engines-demo/engines/*.engine.*; do
            table=$(basename "$device" .device.yaml)-$(basename "$engine").rotor
            (cd "$2" && "$1" compile --drafts -d "$device" -o "$table" "$engine") \
                > "$2/$table.said" 2>&1 || echo "exit status $?" >> "$2/$table.said"
        done
    done
}

# Builds the program for a processor and runs the tests named after it.
try() {
    processor=$1
    shift
    echo "foreign: $processor"
    "$MAKE" --no-print-directory CC="$processor-linux-gnu-gcc" \
        PKG_CONFIG_LIBDIR="/usr/lib/$processor-linux-gnu/pkgconfig" all
    # The emulator starts it, so that the kernel need not know how to.
    mkdir "$scratch/$processor"
    foreign=$scratch/$processor/rotortab
    printf '#!/bin/sh\nexec qemu-%s "%s" "$@"\n' "$processor" \
        "$here/build/$processor-linux-gnu/rotortab" > "$foreign"
    chmod +x "$foreign"

    tables "$foreign" "$scratch/$processor/tables"
    diff -r "$scratch/tables" "$scratch/$processor/tables"
    "$PYTHON" tests/generated.py --check "$foreign"
    ROTORTAB=$foreign "$PYTHON" tests/run-all.py "$@"
}

tables "$here/$program" "$scratch/tables"
echo "foreign: $(find "$scratch/tables" -name '*.rotor' | wc -l) tables to compare"
try aarch64 tests/golden/golden_test.py tests/property/property_test.py
try s390x tests/golden/golden_test.py
