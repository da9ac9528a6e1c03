"""Writes the tables that the fuzzer begins with: the demonstration's, one an engine and device.

The fuzzer tries small tables faster than large ones, so each engine has a separate table. There is
also a signed table, and one of the two smallest engines together.

    seeds.py PROGRAM FOLDER
"""

import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "table"))
import layout  # noqa: E402

DEMO = ROOT / "engines-demo"


def compile_table(program, device, sources, output):
    """Writes a table; False where the device does not take these engines."""
    done = subprocess.run([program, "compile", "--drafts", "--device", device, "-o", output,
                           *sources], capture_output=True, check=False, cwd=DEMO)
    return done.returncode == 0


def write(program, folder):
    """Writes all seeds and returns how many."""
    folder.mkdir(parents=True, exist_ok=True)
    engines = sorted((DEMO / "engines").iterdir())
    for device in sorted((DEMO / "devices").iterdir()):
        name = device.name.split(".")[0]
        for engine in engines:
            output = folder / f"{name}-{engine.name.split('.')[0]}.rotor"
            if compile_table(program, device, [engine], output) and "snath" in engine.name:
                signed = layout.signed(output.read_bytes())
                output.with_suffix(".signed.rotor").write_bytes(signed)
        two = [engine for engine in engines if engine.name.startswith(("billhook", "snath"))]
        compile_table(program, device, two, folder / f"{name}-two.rotor")
    return len(list(folder.glob("*.rotor")))


def main(program, folder):
    count = write(pathlib.Path(program).resolve(), pathlib.Path(folder).resolve())
    if count == 0:
        print("seeds.py: no table could be compiled", file=sys.stderr)
        return 1
    print(f"{count} seeds")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
