"""Motion words as an independent RS-274 interpreter reads them, beside our codec (motion_words).

What our codec writes is given to the interpreter, which says where each line leads in its canonical
machining functions (NISTIR 6556, chapter 4); the same lines, and lines that people might write, are
read by our codec, and the places worked out from its words have to be those. Lines that the language
forbids both have to refuse.
"""

import os
import random
import re
import subprocess
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
MOVES = {"STRAIGHT_FEED": "feed", "STRAIGHT_TRAVERSE": "rapid"}
CANONICAL = re.compile(r"\b([A-Z_0-9]+)\(([^)]*)\)")
PREFIX = "G21 G90 G1 F100 X0 Y0 Z0\n"
INCH = 25.4

# NISTIR 6556 3.3 to 3.5: two codes of a modal group, a letter twice, a word without its number, a
# comment that is not closed or has another inside, letters and signs that begin no word.
FORBIDDEN = ["G20 G21", "G90 G91", "G0 G1 X1", "G4 P1 G28", "X1 X2", "F1 F2", "G1 X", "G1 X+", "G0 (open",
             "G0 (a (b) c)", "G0 X1 )", "X1e3", "G4", "G4 P-1", "@ X1", "G1.5 X1", "G77 X1", "X1.2.3"]


class Interpreter:
    def __init__(self, build):
        script = os.path.join(HERE, "fetch_interpreter")
        self.command = subprocess.run([script, os.path.join(build, "peer-interpreter")], check=True,
                                      stdout=subprocess.PIPE, text=True).stdout.strip()

    def run(self, lines):
        """(whether it took all of them, its canonical functions in order)."""
        with tempfile.NamedTemporaryFile("w", suffix=".ngc") as program:
            program.write(PREFIX + "".join(line + "\n" for line in lines) + "M2\n")
            program.flush()
            done = subprocess.run([self.command, program.name], stdout=subprocess.PIPE,
                                  stderr=subprocess.PIPE, text=True, timeout=60, check=False)
        return done.returncode == 0, CANONICAL.findall(done.stdout)


class Ours:
    def __init__(self, build):
        self.program = os.path.join(build, "motion_words")

    def write(self, seed, count):
        out = subprocess.run([self.program, "write", str(seed), str(count)], check=True,
                             stdout=subprocess.PIPE, text=True).stdout
        return out.splitlines()

    def read(self, lines):
        """For each line a dictionary of its words, or None where it was refused."""
        out = subprocess.run([self.program, "read"], input="".join(line + "\n" for line in lines),
                             check=True, stdout=subprocess.PIPE, text=True).stdout
        return [None if said.startswith("refused") else words(said) for said in out.splitlines()]


def words(said):
    parts = said.split()[1:]
    return dict(zip(parts[::2], parts[1::2]))


def meant(blocks):
    """What the blocks do, as (name, numbers in mm), from their words alone."""
    place, motion, scale, more, done = [0.0, 0.0, 0.0], "feed", 1.0, False, []
    for block in blocks:
        if "unit" in block:
            scale = INCH if block["unit"] == "inch" else 1.0
        if "distance" in block:
            more = block["distance"] == "more"
        motion = block.get("motion", motion)
        if "feed" in block:
            done.append(("set feed", [float(block["feed"])]))
        if "dwell" in block:
            done.append(("dwell", [float(block["dwell"])]))
        if "home" in block:
            place = [0.0, 0.0, 0.0]
            done.append(("rapid", list(place)))
        elif any(axis in block for axis in "xyz"):
            for at, axis in enumerate("xyz"):
                if axis in block:
                    place[at] = float(block[axis]) * scale + (place[at] if more else 0.0)
            done.append((motion, list(place)))
    return travelled(done)


def did(functions):
    """The same from the canonical functions; what the prefix and the end do is left out."""
    done, scale = [], 1.0
    for name, arguments in functions:
        if name == "USE_LENGTH_UNITS":
            scale = INCH if "INCHES" in arguments else 1.0
        elif name in MOVES:
            place = [float(number) * scale for number in arguments.split(",")[:3]]
            done.append((MOVES[name], place))
        elif name == "SET_FEED_RATE":
            done.append(("set feed", [float(arguments)]))
        elif name == "DWELL":
            done.append(("dwell", [float(arguments)]))
    return travelled(done[2:-1])  # F100 and the way to 0; at the end the feed is set to 0


def travelled(done):
    """Without ways that lead nowhere: a motion word alone is one to the interpreter."""
    place, kept = [0.0, 0.0, 0.0], []
    for name, numbers in done:
        if name in MOVES.values():
            if near(numbers, place):
                continue
            place = numbers
        kept.append((name, numbers))
    return kept


def near(ours, theirs):
    """To what four decimals of an inch leave, some of them added up."""
    return len(ours) == len(theirs) and all(abs(a - b) < 6e-3 for a, b in zip(ours, theirs))


def same(ours, theirs):
    if len(ours) != len(theirs):
        return f"{len(ours)} acts and not {len(theirs)}"
    for (name, numbers), (other, others) in zip(ours, theirs):
        if name != other or not near(numbers, others):
            return f"{name} {numbers} and not {other} {others}"
    return ""


def as_people_write(rng, line):
    """Case and blanks do not matter, comments stand anywhere between words (NISTIR 6556 3.3)."""
    text = "".join(letter + " " * rng.choice((0, 0, 0, 1)) for letter in line.replace(" ", ""))
    text = "".join(rng.choice((letter.lower(), letter)) for letter in text)
    return text + rng.choice(("", " (to the key)", ""))


def check(checks, build):
    try:
        interpreter = Interpreter(build)
    except (OSError, subprocess.CalledProcessError) as error:
        checks.that("an RS-274 interpreter can be fetched from Debian's archive", False, error)
        return
    ours = Ours(build)
    written = ours.write(20261126, 4000)
    taken, functions = interpreter.run(written)
    checks.that("an interpreter takes every block that our codec writes", taken, functions[-3:])
    fault = same(meant(ours.read(written)), did(functions))
    checks.that("each leads where our codec reads it to", fault == "", fault)
    rng = random.Random(7)
    by_hand = [as_people_write(rng, line) for line in ours.write(5, 1000)]
    taken, functions = interpreter.run(by_hand)
    blocks = ours.read(by_hand)
    checks.that("both take lines as people write them", taken and None not in blocks,
                [line for line, block in zip(by_hand, blocks) if block is None][:3])
    fault = same(meant(blocks), did(functions)) if None not in blocks else "refused"
    checks.that("and read the same in them", fault == "", fault)
    for line, block in zip(FORBIDDEN, ours.read(FORBIDDEN)):
        taken, _ = interpreter.run([line])
        checks.that(f"both refuse \"{line}\"", block is None and not taken, (block, taken))
