"""What the independent devices of one station have in common: a file in memory that each of them
maps. The motion controller writes where the finger is, the relay board which relays are closed; the
unit reads both and feels them.

  0   three doubles: X, Y, Z of the finger in mm
  24  which unit lies in the nest (from 1; 0: none), 32 bits
  28  one byte: guard closed, 29: emergency stop closed
  64  one byte a coil: closed
peer_unit.c reads the same places.
"""

import mmap
import struct

SIZE = 256
UNIT, GUARD, STOP, COILS = 24, 28, 29, 64


def make(path):
    with open(path, "wb") as file:
        file.write(bytes(SIZE))
    world = World(path)
    world.set_inputs(True, True)
    return world


class World:
    def __init__(self, path):
        with open(path, "r+b") as file:
            self.map = mmap.mmap(file.fileno(), SIZE)

    def set_finger(self, place):
        struct.pack_into("@3d", self.map, 0, *place)

    def finger(self):
        return struct.unpack_from("@3d", self.map, 0)

    def set_unit(self, number):
        struct.pack_into("@I", self.map, UNIT, number)

    def unit(self):
        return struct.unpack_from("@I", self.map, UNIT)[0]

    def set_inputs(self, guard, stop):
        self.map[GUARD], self.map[STOP] = int(guard), int(stop)

    def inputs(self):
        return bool(self.map[GUARD]), bool(self.map[STOP])

    def set_coil(self, coil, closed):
        self.map[COILS + coil] = int(closed)

    def coil(self, coil):
        return bool(self.map[COILS + coil])
