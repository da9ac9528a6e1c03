"""How long checking and compiling take: `make bench`.

One run measures everything, as wall time; slips as time of processors. It prints ratios, each the
median of the ratios of interleaved rounds, so other work of the machine changes them little. The
limit is libyaml itself, a bare event loop over the same bytes (loop.c). The same content goes
through tools that people check YAML with, and through compilers of other languages. Tools that are
not on the machine are left out and named. The bench asserts nothing: a timed test would fail on a
busy machine.
"""

import argparse
import json
import os
import pathlib
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

import definitions

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
import node  # pylint: disable=wrong-import-position

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
LOOP = str(pathlib.Path(os.environ.get("ROTORTAB_BUILD", "build")).resolve() / "tests/bench/loop")
SCHEMA = pathlib.Path("schemas/engine-definition.schema.json").resolve()

FLEET = 300  # definitions whose slips are tried

PROFILE = """device-profile: 1
id: bench
name: Bench
shaft: {counts-per-motor-turn: 2048, reduction: {motor: 81, output: 1}, positive: cw}
stepping: scheduled
counter-bits: 32
speed: {min: 1 deg/min, max: 6 rpm, resolution: 0.1 deg/min}
torque: {min: 3 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}
limits: {table-bytes: 999999999, engines: 99999999, stages: 99, pads: 9, blades: 255,
         text-bytes: 99, text: utf-8}
"""

JSONSCHEMA = """
import json, pathlib, sys, yaml, jsonschema
class Loader(yaml.CSafeLoader): pass
Loader.yaml_implicit_resolvers = {}
validator = jsonschema.Draft202012Validator(json.load(open(sys.argv[1])))
for path in sorted(pathlib.Path(sys.argv[2]).iterdir()):
    for error in validator.iter_errors(yaml.load(path.read_bytes(), Loader)):
        sys.exit(str(error))
"""


def run(command, cwd=None, statuses=(0,)):
    """Seconds, peak KiB and seconds of processors of one run; a failure ends the bench."""
    started = time.perf_counter()
    process = subprocess.Popen(command, cwd=cwd, stdout=subprocess.DEVNULL,
                               stderr=subprocess.PIPE)
    errors = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - started
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in statuses:
        sys.exit(f"{' '.join(map(str, command))[:200]}: {errors.decode()[-500:]}")
    return seconds, usage.ru_maxrss, usage.ru_utime + usage.ru_stime


def measure(commands, rounds):
    """Seconds by round and greatest KiB of each named command, round by round in turn."""
    seconds = {name: [] for name in commands}
    memory = {name: 0 for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            taken, kib, _ = run(command)
            seconds[name].append(taken)
            memory[name] = max(memory[name], kib)
    return seconds, memory


def ratio(of, to):
    """The median of what the rounds of one command took to those of another."""
    return statistics.median(a / b for a, b in zip(of, to, strict=True))


def say(what, value, limit=""):
    print(f"  {what:<58} {value:>12} {limit}", flush=True)


def bench_speed(folder, profile, scratch, rounds):
    table = scratch / "bench.rotor"
    commands = {
        "loop": [LOOP, folder],
        "check -j1": [PROGRAM, "check", "-j", "1", folder],
        "check -j2": [PROGRAM, "check", "-j", "2", folder],
        "compile -j1": [PROGRAM, "compile", "-j", "1", "-d", profile, "-o", table, folder],
        "compile -j2": [PROGRAM, "compile", "-j", "2", "-d", profile, "-o", table, folder],
    }
    run(commands["loop"])  # the files come into the cache
    seconds, memory = measure(commands, rounds)
    for name, taken in seconds.items():
        say(f"{name}, seconds", f"{statistics.median(taken):.3f}")
    say("check on one thread / bare libyaml",
        f"{ratio(seconds['check -j1'], seconds['loop']):.2f}", "(at most 1.3)")
    say("compile on one thread / bare libyaml",
        f"{ratio(seconds['compile -j1'], seconds['loop']):.2f}", "(at most 1.3)")
    say("check, one thread / two",
        f"{ratio(seconds['check -j1'], seconds['check -j2']):.2f}", "(at least 1.8)")
    say("compile, one thread / two",
        f"{ratio(seconds['compile -j1'], seconds['compile -j2']):.2f}", "(at least 1.8)")
    say("peak memory of check, MiB", f"{memory['check -j1'] / 1024:.1f}", "(at most 64)")
    say("peak memory of compile, MiB", f"{memory['compile -j1'] / 1024:.1f}", "(at most 64)")


def bench_growth(scratch, sizes, rounds):
    seconds = {}
    for size in sizes:
        folder = scratch / f"grow-{size}"
        definitions.make(folder, size)
        os.sync()  # or writing them back disturbs the first rounds
        run([LOOP, folder])
        taken, memory = measure({"check": [PROGRAM, "check", "-j", "1", folder]}, rounds)
        seconds[size] = statistics.median(taken["check"])
        say(f"check of {size} definitions, microseconds each",
            f"{1e6 * seconds[size] / size:.1f}", f"{memory['check'] / 1024:.1f} MiB")
        shutil.rmtree(folder)
    each = [seconds[size] / size for size in sizes]
    say("dearest / cheapest definition over these sizes", f"{max(each) / min(each):.2f}",
        "(at most 1.10)")


def bench_small(rounds):
    file = "engines-demo/engines/quern-12.engine.yaml"
    taken, _ = measure({"one": [PROGRAM, "check", file]}, rounds)
    say("one small file, milliseconds with start-up",
        f"{1000 * statistics.median(taken['one']):.2f}", "(under 5)")


def bench_slips(profile, scratch, rounds):
    """Every slip of one definition, and of a fleet: seconds of processors, not of a clock.

    Nobody read the fleet again: so half of the slips pass, each is weighed, and a plan is made.
    """
    fleet = scratch / "fleet"
    definitions.make(fleet, FLEET)
    one = "engines-demo/engines/quern-12.engine.yaml"
    busy, memory = {}, 0
    for name, source, times in (("one", one, 3 * rounds), ("fleet", fleet, 1)):
        command = [PROGRAM, "slips", "-j", "2", "-d", profile, source]
        runs = [run(command, statuses=(0, 1)) for _ in range(times)]
        busy[name] = statistics.median(taken for _, _, taken in runs)
        memory = max(memory, *(kib for _, kib, _ in runs))
    say("slips of quern-12, milliseconds of one processor", f"{1000 * busy['one']:.0f}",
        "(at most 100)")
    say(f"slips of {FLEET} definitions, seconds of two processors", f"{busy['fleet'] / 2:.1f}",
        "(at most 20)")
    say("peak memory of slips, MiB", f"{memory / 1024:.1f}", "(at most 64)")
    shutil.rmtree(fleet)


def others(folder, scratch, count):
    """The same job with other tools; `count` definitions."""
    sample = scratch / "sample"
    sample.mkdir()
    for path in sorted(folder.iterdir())[:count]:
        shutil.copy(path, sample)
    loaded = definitions.load(sample, count)
    (scratch / "table.dts").write_text(definitions.device_tree(loaded))
    (scratch / "table.proto").write_text(definitions.PROTO)
    (scratch / "table.txt").write_text(definitions.protobuf_text(loaded))
    flat = scratch / "flat.schema.json"
    flat.write_text(json.dumps({k: v for k, v in json.loads(SCHEMA.read_text()).items()
                                if k != "$schema"}))
    commands = {"rotortab check": [PROGRAM, "check", "-j", "1", sample],
                "python3-jsonschema, CSafeLoader": ["/usr/bin/python3", "-c", JSONSCHEMA, SCHEMA,
                                                    sample]}
    missing = []
    if shutil.which("yamllint"):
        commands["yamllint"] = ["yamllint", "-d", "{rules: {}}", sample]
    else:
        missing.append("yamllint")
    if not node.ABSENT:
        ajv = node.modules("bench") / ".bin/ajv"
        commands["ajv-cli"] = [ajv, "validate", "--strict=false", "-s", flat, "-d",
                               f"{sample}/*.yaml"]
    else:
        missing.append("ajv-cli")
    if shutil.which("dtc"):
        commands["dtc"] = ["dtc", "-q", "-O", "dtb", "-o", scratch / "table.dtb",
                           scratch / "table.dts"]
    else:
        missing.append("dtc")
    if shutil.which("protoc"):
        commands["protoc"] = ["sh", "-c", f"protoc -I {scratch} --encode=Table table.proto "
                              f"< {scratch}/table.txt > {scratch}/table.pb"]
    else:
        missing.append("protoc")
    return commands, missing


def bench_others(folder, profile, scratch, count, rounds):
    commands, missing = others(folder, scratch, count)
    table = scratch / "sample.rotor"
    commands["rotortab compile"] = [PROGRAM, "compile", "-j", "1", "-d", profile, "-o", table,
                                    scratch / "sample"]
    seconds, _ = measure(commands, rounds)
    for name in commands:
        compiles = name in ("dtc", "protoc", "rotortab compile")
        own = "rotortab compile" if compiles else "rotortab check"
        say(f"{name}, {count} definitions, seconds", f"{statistics.median(seconds[name]):.3f}",
            f"{ratio(seconds[name], seconds[own]):.1f} times {own}")
    if missing:
        print(f"  not on this machine: {', '.join(missing)}")


def main():
    arguments = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    arguments.add_argument("--count", type=int, default=10000, help="definitions")
    arguments.add_argument("--rounds", type=int, default=5, help="rounds, of which the median")
    arguments.add_argument("--most", type=int, default=100000, help="largest set for the growth")
    options = arguments.parse_args()
    limit = resource.getrlimit(resource.RLIMIT_NOFILE)
    assert limit[0] > 64
    with tempfile.TemporaryDirectory() as name:
        scratch = pathlib.Path(name)
        profile = scratch / "bench.device.yaml"
        profile.write_text(PROFILE)
        folder = scratch / "definitions"
        size = definitions.make(folder, options.count)
        os.sync()  # or writing them back disturbs the first rounds
        print(f"{options.count} definitions, {size / 1e6:.1f} MB, {options.rounds} rounds, "
              f"{os.cpu_count()} processors")
        bench_speed(folder, profile, scratch, options.rounds)
        bench_growth(scratch, [n for n in (1000, 10000, 100000) if n <= options.most],
                     max(3, options.rounds // 2))
        bench_small(51)
        bench_slips(profile, scratch, options.rounds)
        bench_others(folder, profile, scratch, min(1000, options.count), 3)


if __name__ == "__main__":
    main()
