#!/usr/bin/env python3
"""A relay board that talks SCPI, written from the standards with Python's standard library and
nothing of padtrim: IEEE 488.2 common commands, SCPI-1999 channel lists and error queue.

  scpi_instrument.py tcp       listens on a free port of 127.0.0.1 and prints it
  scpi_instrument.py pty       opens a pseudo-terminal and prints its name
  --stuck 105,closed           channel 105 does not follow (or 105,open)
  --identity TEXT              what *IDN? says
  --pieces                     sends each reply in pieces of three bytes
  --slow MS                    *OPC? answers this much later than the command came
  --world FILE                 relays and inputs are those of world.py: 201 guard, 202 emergency
                               stop, 203 a unit lies in the nest
  --advance 143,2              closing channel 143 lays the next of two units into the nest
Ends when its standard input does.
"""

import argparse
import os
import re
import select
import socket
import sys
import threading
import time
import tty

import world

FIRST, COUNT = 101, 64
FIRST_INPUT, INPUTS = 201, 4


class Complaint(Exception):
    """An entry for the error queue."""


def channels(text, first, count):
    """SCPI-1999 volume 1, 8.3.2."""
    found = re.fullmatch(r"\(@\s*([0-9:,\s]+)\)", text.strip())
    if not found:
        raise Complaint((-171, "Invalid expression"))
    numbers = []
    for entry in found.group(1).split(","):
        ends = [int(end) for end in entry.split(":")] if re.fullmatch(r"\s*\d+(:\d+)?\s*", entry) else None
        if ends is None:
            raise Complaint((-171, "Invalid expression"))
        low, high = ends[0], ends[-1]
        numbers += range(low, high + 1) if low <= high else range(low, high - 1, -1)
    for number in numbers:
        if not first <= number < first + count:
            raise Complaint((-222, f"Data out of range;channel {number}"))
    return numbers


def meant(pattern, said):
    """Short or long form of each node, and nothing between (SCPI-1999 volume 1, 6.2.1)."""
    nodes, words = pattern.split(":"), said.split(":")
    if len(nodes) != len(words):
        return False
    for node, word in zip(nodes, words):
        short = "".join(letter for letter in node if not letter.islower())
        if word.upper() not in (node.upper(), short):
            return False
    return True


class RelayBoard:
    def __init__(self, options):
        self.options = options
        self.closed = {FIRST + index: False for index in range(COUNT)}
        self.stuck = {}
        if options.stuck:
            number, state = options.stuck.split(",")
            self.stuck[int(number)] = self.closed[int(number)] = state == "closed"
        self.errors = []
        self.busy_until = 0.0
        self.world = world.World(options.world) if options.world else None
        advance = options.advance.split(",") if options.advance else (0, 0)
        self.advance, self.units = int(advance[0]), int(advance[1])

    def switch(self, numbers, state):
        for number in numbers:
            if number == self.advance and state and not self.closed[number]:
                self.load_next()
            self.closed[number] = self.stuck.get(number, state)
            if self.world:
                self.world.set_coil(number - FIRST, self.closed[number])
        self.busy_until = time.monotonic() + self.options.slow / 1000.0

    def load_next(self):
        following = self.world.unit() + 1
        self.world.set_unit(following if following <= self.units else 0)

    def inputs(self, numbers):
        if not self.world:
            return [number % 2 for number in numbers]
        guard, stop = self.world.inputs()
        states = [guard, stop, self.world.unit() > 0, False]
        return [int(states[number - FIRST_INPUT]) for number in numbers]

    def one(self, text):
        header, _, rest = text.strip().partition(" ")
        query = header.endswith("?")
        header = header.rstrip("?").lstrip(":")
        if query and meant("*IDN", header):
            return self.options.identity
        if query and meant("*OPC", header):
            time.sleep(max(0.0, self.busy_until - time.monotonic()))
            return "1"
        if not query and meant("*CLS", header):
            self.errors.clear()
            return None
        if query and (meant("SYSTem:ERRor", header) or meant("SYSTem:ERRor:NEXT", header)):
            number, words = self.errors.pop(0) if self.errors else (0, "No error")
            return f'{number},"{words}"'
        if meant("ROUTe:CLOSe", header):
            numbers = channels(rest, FIRST, COUNT)
            if query:
                return ",".join("1" if self.closed[number] else "0" for number in numbers)
            return self.switch(numbers, True)
        if meant("ROUTe:OPEN", header) and not query:
            return self.switch(channels(rest, FIRST, COUNT), False)
        if meant("DIGital:INPut", header) and query:
            return ",".join(str(state) for state in self.inputs(channels(rest, FIRST_INPUT, INPUTS)))
        raise Complaint((-113, "Undefined header"))

    def line(self, text):
        said = []
        try:
            for unit in text.split(";"):
                answer = self.one(unit)
                if answer is not None:
                    said.append(answer)
        except Complaint as complaint:
            self.errors.append(complaint.args[0])
        return ";".join(said)


def serve(board, read, write):
    pending = b""
    while True:
        piece = read()
        if not piece:
            return
        pending += piece
        while b"\n" in pending:
            raw, pending = pending.split(b"\n", 1)
            reply = board.line(raw.decode("ascii", "replace").strip("\r"))
            if not reply:
                continue
            data = reply.encode("ascii") + b"\n"
            step = 3 if board.options.pieces else len(data)
            for at in range(0, len(data), step):
                write(data[at:at + step])
                if board.options.pieces:
                    time.sleep(0.001)


def over_tcp(board):
    server = socket.create_server(("127.0.0.1", 0))
    print(server.getsockname()[1], flush=True)
    while True:
        peer, _ = server.accept()
        peer.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        with peer:
            serve(board, lambda: peer.recv(256), peer.sendall)


def over_pty(board):
    master, slave = os.openpty()
    tty.setraw(slave)
    print(os.ttyname(slave), flush=True)

    def read():
        while not select.select([master], [], [], 1.0)[0]:
            pass
        return os.read(master, 256)

    serve(board, read, lambda data: os.write(master, data))


def main():
    options = argparse.ArgumentParser()
    options.add_argument("how", choices=["tcp", "pty"])
    options.add_argument("--stuck")
    options.add_argument("--identity", default="PEER WORKS,RELAY BOARD,7,0.3")
    options.add_argument("--pieces", action="store_true")
    options.add_argument("--slow", type=float, default=0.0)
    options.add_argument("--world")
    options.add_argument("--advance")
    options = options.parse_args()
    board = RelayBoard(options)
    work = over_tcp if options.how == "tcp" else over_pty
    threading.Thread(target=work, args=(board,), daemon=True).start()
    sys.stdin.read()


main()
