#!/usr/bin/env python3
"""A motion controller of three axes, written with Python's standard library and nothing of padtrim.
It reads motion words after the published description of the RS274/NGC interpreter (NISTIR 6556:
3.3 blocks and words, 3.4 modal groups; case and blanks do not matter, comments in parentheses).
Its other lines are a dialect of its own:

  says     PEER STAGE ON            after power came, and after the guard was closed again
           TAKEN                    a line was understood
           SORRY <why>              it was not, or must not be done
           CUT OFF <why>            unasked: the drives lost their power
  answers  WHERE                    with x=1.000 y=2.000 z=3.000 resting (or going)
  obeys    SIT                      holds the way that it is on
           WALK                     goes on with it
           FORGET                   throws the rest of it away; has to home afterwards

  motion_controller.py --world FILE --travel X,Y,Z [--homing-speed MM_S] [--drives-stay-on]
With --drives-stay-on guard and emergency stop do not cut the drives: only words stop the finger.
Opens a pseudo-terminal and prints its name. Ends when its standard input does.
"""

import argparse
import math
import os
import re
import select
import sys
import time
import tty

import world

WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
GROUPS = {  # NISTIR 6556, table 4: at most one of each on a line
    "G0": "motion", "G1": "motion", "G20": "units", "G21": "units",
    "G90": "distance", "G91": "distance", "G4": "once", "G28": "once", "M2": "end", "M30": "end"}
LONGEST = 256  # NISTIR 6556, 3.3.1


class Refused(Exception):
    pass


def words_of(line):
    """(codes by group, numbers by letter) of one block."""
    if len(line) > LONGEST:
        raise Refused("line too long")
    bare = re.sub(r"\([^()]*\)", "", line)
    if "(" in bare or ")" in bare:
        raise Refused("comment not closed")
    bare = re.sub(r"\s", "", bare).upper()
    codes, numbers, at = {}, {}, 0
    while at < len(bare):
        found = WORD.match(bare, at)
        if not found:
            raise Refused(f"no word at column {at + 1}")
        letter, text = found.groups()
        at = found.end()
        if letter in "GM":
            code = letter + str(int(float(text)))
            if code not in GROUPS or float(text) != int(float(text)):
                raise Refused(f"{letter}{text} is not known here")
            if GROUPS[code] in codes:
                raise Refused(f"two codes of one group: {code}")
            codes[GROUPS[code]] = code
        elif letter in "XYZFPN":
            if letter in numbers:
                raise Refused(f"{letter} twice")
            numbers[letter] = float(text)
        else:
            raise Refused(f"{letter} is not known here")
    numbers.pop("N", None)
    return codes, numbers


class Stage:
    """Ways follow one another; a way is from, to and how long it takes."""

    def __init__(self, the_world, options):
        self.world, self.stays_on = the_world, options.drives_stay_on
        self.travel = [float(length) for length in options.travel.split(",")]
        self.homing_speed = options.homing_speed
        travel = self.travel
        self.place = [0.3 * length for length in travel[:2]] + [travel[2]]
        self.ways, self.passed, self.last = [], 0.0, time.monotonic()
        self.held = False
        self.powered = None
        self.unasked = []
        self.reset()

    def reset(self):
        self.referenced, self.inches, self.incremental = False, False, False
        self.motion, self.feed = "G1", 0.0
        self.ways, self.passed, self.held = [], 0.0, False

    def tick(self):
        now = time.monotonic()
        step, self.last = now - self.last, now
        on = self.stays_on or all(self.world.inputs())
        if on != self.powered:
            if on:
                self.reset()
                self.unasked.append("PEER STAGE ON")
            elif self.powered:
                self.ways, self.referenced = [], False
                self.unasked.append("CUT OFF guard or stop is open")
            self.powered = on
        if not self.held:
            self.advance(step)
        if tuple(self.place) != self.world.finger():
            self.world.set_finger(self.place)

    def advance(self, step):
        while self.ways and step > 0.0:
            start, end, lasts = self.ways[0]
            if self.passed + step < lasts:
                self.passed += step
                part = self.passed / lasts
                self.place = [a + part * (b - a) for a, b in zip(start, end)]
                return
            step -= lasts - self.passed
            self.place, self.passed = list(end), 0.0
            self.ways.pop(0)

    def goal(self):
        return list(self.ways[-1][1]) if self.ways else list(self.place)

    def way(self, end, speed):
        start = self.goal()
        self.ways.append((start, list(end), math.dist(start, end) / speed))

    def where(self):
        state = "going" if self.ways and not self.held else "resting"
        return "x={:.3f} y={:.3f} z={:.3f} {}".format(*self.place, state)

    def home(self):
        """Up first, then to the corner."""
        x, y, _ = self.goal()
        top = self.travel[2]
        self.way([x, y, top], self.homing_speed)
        self.way([0.0, 0.0, top], self.homing_speed)
        self.referenced = True

    def line(self, text):
        if text == "WHERE":
            return self.where()
        if text == "SIT":
            self.held = True
            return "TAKEN"
        if text == "WALK":
            if not self.held:
                raise Refused("nothing is held")
            self.held = False
            return "TAKEN"
        if text == "FORGET":
            if not self.held:
                raise Refused("nothing is held")
            self.ways, self.passed, self.held, self.referenced = [], 0.0, False, False
            return "TAKEN"
        self.block(*words_of(text))
        return "TAKEN"

    def block(self, codes, numbers):
        if "units" in codes:
            self.inches = codes["units"] == "G20"
        if "distance" in codes:
            self.incremental = codes["distance"] == "G91"
        self.motion = codes.get("motion", self.motion)
        scale = 25.4 if self.inches else 1.0
        if "F" in numbers:
            self.feed = numbers["F"] * scale
        once = codes.get("once")
        axes = [letter for letter in "XYZ" if letter in numbers]
        if not axes and not once:
            return
        if not self.powered:
            raise Refused("no power on the drives")
        if self.held:
            raise Refused("held")
        if once == "G28":
            self.home()
        elif once == "G4":
            here = self.goal()
            self.ways.append((here, here, numbers.get("P", 0.0)))
        else:
            self.go(axes, numbers, scale)

    def go(self, axes, numbers, scale):
        if not self.referenced:
            raise Refused("not homed")
        if self.motion == "G1" and self.feed <= 0.0:
            raise Refused("no feed")
        end = self.goal()
        for letter in axes:
            at = "XYZ".index(letter)
            end[at] = numbers[letter] * scale + (end[at] if self.incremental else 0.0)
        for value, length in zip(end, self.travel):
            if not -1e-6 <= value <= length + 1e-6:
                raise Refused("beyond the end of an axis")
        self.way(end, self.homing_speed if self.motion == "G0" else self.feed / 60.0)


def answer(stage, text):
    try:
        return stage.line(text)
    except Refused as refused:
        return f"SORRY {refused}"


def serve(stage, master):
    pending = b""
    while True:
        stage.tick()
        while stage.unasked:
            os.write(master, stage.unasked.pop(0).encode("ascii") + b"\n")
        ready = select.select([master, sys.stdin], [], [], 0.002)[0]
        if sys.stdin in ready and not os.read(sys.stdin.fileno(), 64):
            return
        if master not in ready:
            continue
        pending += os.read(master, 256)
        while b"\n" in pending:
            raw, pending = pending.split(b"\n", 1)
            text = raw.decode("ascii", "replace").strip()
            if text:
                stage.tick()
                os.write(master, answer(stage, text).encode("ascii") + b"\n")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--world", required=True)
    options.add_argument("--travel", required=True)
    options.add_argument("--homing-speed", type=float, default=200.0)
    options.add_argument("--drives-stay-on", action="store_true")
    options = options.parse_args()
    master, slave = os.openpty()
    tty.setraw(slave)
    stage = Stage(world.World(options.world), options)
    print(os.ttyname(slave), flush=True)
    serve(stage, master)


main()
