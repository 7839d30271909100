"""Kills the station in the middle of lots and holds the records against the bench's truth.

One bench runs all the time; the station is killed (SIGKILL) at a named point of the write-back or at
a random moment, started again, and killed again, until the bench has no more units. Then:

- no unit lost: every unit that the bench loaded stands in the records, with an end;
- none twice: no unit was written to, or committed, more than once; none has two passes;
- none in an unstated state: what the records say of a unit is true of its memory.

The promises are the station's own (README: a unit is never left ambiguous); the truth is the
bench's, written to a file and never sent over a port. Prints "N passed, N failed".
"""

import json
import os
import pathlib
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = ROOT / "build" / "release"
RECIPE = ROOT / "tests/crash/quick.toml"
UNIT = ROOT / "fixtures/units/hob-panel-8.toml"
FIXTURE = ROOT / "fixtures/profiles/hob-line-4-nests.toml"
LONG = os.environ.get("PADTRIM_LONG", "0") == "1"
TIMES_AT_POINT = 3 if LONG else 1
RANDOM_KILLS = 200 if LONG else 20
STAGES = ["untouched", "intended", "written", "read back", "committed", "power-cycled", "verified"]

passed = failed = 0


def check(good, sentence):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print("not ok:", sentence)


class Bench:
    def __init__(self, folder, seed, units):
        self.truth_file = folder / "truth.json"
        self.ports = folder / "ports"
        self.ports.mkdir()
        log = open(folder / "bench.log", "w+")
        self.process = subprocess.Popen(
            [BUILD / "padtrim", "bench", "--fixture", FIXTURE, "--unit", UNIT, "--ports", self.ports,
             "--seed", str(seed), "--rate", "25", "--units", str(units), "--truth", self.truth_file],
            stdout=log, stderr=subprocess.STDOUT)
        until = time.monotonic() + 20
        while "bench ready" not in (folder / "bench.log").read_text():
            if time.monotonic() > until or self.process.poll() is not None:
                sys.exit("the bench did not start: " + (folder / "bench.log").read_text())
            time.sleep(0.02)

    def truth(self):
        return json.loads(self.truth_file.read_text())

    def stop(self):
        self.process.terminate()
        self.process.wait(20)


def start_station(folder, ports, die_at=None):
    environment = dict(os.environ)
    environment.pop("PADTRIM_DIE_AT", None)
    if die_at:
        environment["PADTRIM_DIE_AT"] = die_at
    log = open(folder / "station.log", "a")
    return subprocess.Popen(
        [BUILD / "crash_station", "run", RECIPE, "--draft", "--fixture", FIXTURE, "--unit", UNIT, "--ports", ports,
         "--records", folder / "records.sqlite", "--lot", "crash", "--station", "crash",
         "--log", folder / "station-events.log"],
        env=environment, stdout=log, stderr=subprocess.STDOUT)


def rows(folder, sql):
    with sqlite3.connect(f"file:{folder / 'records.sqlite'}?mode=ro", uri=True) as records:
        return records.execute(sql).fetchall()


def written(unit, trim_set):
    return unit["trims"][trim_set]["gain"], unit["trims"][trim_set]["offset"]


def touched(unit):
    return unit["trim_writes"] > 0 or unit["commits"] > 0


def compare_after_kill(folder, bench, where):
    """The intent is durable before the first byte: every unit that was touched has one."""
    if not (folder / "records.sqlite").exists():
        return
    intents = {serial for (serial,) in rows(
        folder, "SELECT run.serial FROM write_intent JOIN run ON run.id = write_intent.run")}
    bare = [u["serial"] for u in bench.truth()["units"] if touched(u) and u["serial"] not in intents]
    check(not bare, f"{where}: units written to without a durable intent: {bare}")


def compare_unit(unit, runs, trims):
    """What the records say of one unit against its memory. Returns the sentence of a disagreement."""
    ended = [r for r in runs if r["ended"]]
    if len(ended) != len(runs):
        return "has a run without an end"
    if sum(r["verdict"] == "pass" for r in ended) > 1:
        return "passed twice"
    # The bench counts registers: one write of the trims is one gain and one offset a channel.
    once = 2 * len(unit["trims"]["working"]["gain"])
    if unit["trim_writes"] > once or unit["commits"] > 1:
        return f"had {unit['trim_writes']} of {once} registers written, {unit['commits']} commits"
    if unit["torn_commits"]:
        return "lost power during a commit"
    last = ended[-1]
    stage = max((STAGES.index(r["stage"]) for r in ended), default=0)
    if unit["trim_writes"] and stage < STAGES.index("intended"):
        return "was written to, but the records say untouched"
    if unit["commits"] and stage < STAGES.index("read back"):
        return "was committed, but the records stop before the read-back"
    if stage >= STAGES.index("written") and not unit["trim_writes"]:
        return "is said to be written, and never was"
    if stage >= STAGES.index("committed") and not unit["commits"]:
        return "is said to be committed, and never was"
    if last["disposition"] == "released":
        if last["verdict"] != "pass" or last["stage"] != "verified":
            return f"is released with verdict {last['verdict']} at stage {last['stage']}"
        if written(unit, "non_volatile") != trims.get(last["run"]):
            return "is released, and does not hold the recorded trims"
    elif stage >= STAGES.index("intended") and last["disposition"] != "quarantined":
        return f"was written to and not proven, but is {last['disposition']}"
    return None


def compare_at_end(folder, bench, name):
    truth = bench.truth()
    runs, trims = {}, {}
    for run, serial, ended, verdict, disposition, stage in rows(
            folder, "SELECT run, serial, ended, verdict, disposition, write_stage FROM run_book ORDER BY run"):
        runs.setdefault(serial, []).append({"run": run, "ended": ended, "verdict": verdict,
                                            "disposition": disposition, "stage": stage})
    for run, gain, offset in rows(
            folder, 'SELECT run, gain, "offset" FROM write_intent_trim ORDER BY run, channel'):
        one = trims.setdefault(run, ([], []))
        one[0].append(gain)
        one[1].append(offset)
    lost = [u["serial"] for u in truth["units"] if u["serial"] not in runs]
    check(not lost, f"{name}: units that no record knows: {lost}")
    known = {u["serial"] for u in truth["units"]}
    check(set(runs) <= known, f"{name}: records of units that never were: {set(runs) - known}")
    for unit in truth["units"]:
        sentence = compare_unit(unit, runs.get(unit["serial"], []), trims)
        check(sentence is None, f"{name}: unit {unit['serial']} {sentence}")
    return runs


def finish(folder, bench):
    station = start_station(folder, bench.ports)
    try:
        code = station.wait(600)
    except subprocess.TimeoutExpired:
        station.kill()
        code = "none: it hung"
    check(code in (0, 1), f"the last start ended with {code}; see {folder / 'station.log'}")


def kill_at_points(folder):
    listed = subprocess.run([BUILD / "crash_station"], capture_output=True, text=True, check=True,
                            env={**os.environ, "PADTRIM_LIST_POINTS": "1"}).stdout.split("\n")
    points = [p for p in listed if p] * TIMES_AT_POINT
    bench = Bench(folder, seed=4711, units=4 * (len(points) + 2))
    for point in points:
        station = start_station(folder, bench.ports, die_at=point)
        try:
            code = station.wait(60)
        except subprocess.TimeoutExpired:
            station.kill()
            code = station.wait()
            check(False, f"the station hung on its way to '{point}'")
        check(code == -signal.SIGKILL, f"'{point}' was never reached (exit code {code})")
        compare_after_kill(folder, bench, f"'{point}'")
    finish(folder, bench)
    runs = compare_at_end(folder, bench, "points")
    bench.stop()
    print(f"{len(points)} kills at {len(points) // TIMES_AT_POINT} points; {len(runs)} units")


def kill_at_random(folder):
    chance = random.Random(20261125)
    print("random moments from seed 20261125")
    bench = Bench(folder, seed=815, units=4 * RANDOM_KILLS)
    for number in range(RANDOM_KILLS):
        station = start_station(folder, bench.ports)
        try:
            station.wait(chance.uniform(0.05, 4.0))
        except subprocess.TimeoutExpired:
            station.kill()
        station.wait()
        compare_after_kill(folder, bench, f"random kill {number}")
    finish(folder, bench)
    runs = compare_at_end(folder, bench, "random")
    bench.stop()
    print(f"{RANDOM_KILLS} kills at random moments; {len(runs)} units")


def main():
    with tempfile.TemporaryDirectory(prefix="padtrim-crash-") as top:
        for name, act in (("points", kill_at_points), ("random", kill_at_random)):
            folder = pathlib.Path(top) / name
            folder.mkdir()
            act(folder)
            if failed:
                print((folder / "station.log").read_text()[-3000:])
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
