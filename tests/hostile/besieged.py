"""The station under siege: its people, its secrets, the sockets of the attacks, and what a good page
meets meanwhile."""

import asyncio
import http.client
import json
import os
import socket
import sqlite3
import struct
import time

from served_station import kernel_figures  # noqa: F401 (storm.py takes it from here)


class Person:
    def __init__(self, name, cookie, proof):
        self.name, self.cookie, self.proof = name, cookie, proof

    def fields(self):
        return [("Cookie", self.cookie), ("X-Padtrim-Proof", self.proof)]

    def headers(self):
        return dict(self.fields())


def log_in(station, name, password):
    status, headers, session = station.call("POST", "/api/session", {"name": name, "password": password})
    assert status == 200, session
    return Person(name, headers["Set-Cookie"].split(";")[0], session["proof"])


def let_in(station):
    """An administrator, an operator and a reader, all logged in."""
    status, _, said = station.call("POST", "/api/session/first", {
        "code": station.code(), "name": "boss", "password": "words of boss"})
    assert status == 200, said
    people = {"boss": log_in(station, "boss", "words of boss")}
    for name, role in (("worker", "operator"), ("reader", "quality")):
        status, _, said = station.call("POST", "/api/accounts", {
            "name": name, "role": role, "password": f"words of {name}"}, people["boss"].headers())
        assert status == 200, said
        people[name] = log_in(station, name, f"words of {name}")
    return people


def begin_lot(station, person):
    status, _, said = station.call("POST", "/api/lot/start", {"lot": "siege"}, person.headers())
    assert status == 202, said
    while station.call("GET", "/api/status", headers=person.headers())[2]["count"]["loaded"] < 4:
        time.sleep(0.05)  # the nests have found their pace


def secrets_of(station):
    """Bytes that no answer may hold, and what they are."""
    with open(station.records + ".daemon-key", "rb") as file:
        secrets = {file.read().strip(): "the key of this machine's commands"}
    with open(station.records + ".key", "rb") as file:
        secrets[file.read().strip()] = "the key of the records' seals"
    with open(os.path.join(station.folder, "canary.txt"), "wb") as file:
        file.write(b"canary-4711-of-the-folder")
    secrets |= {b"canary-4711-of-the-folder": "a file beside the records", b"root:x:0:": "the machine's accounts",
                b"$argon2id$": "the hash of a password", b"words of boss": "a password",
                b"SQLite format 3": "the records' file", b"namespace padtrim": "source text"}
    return secrets


def close_at_once(writer):
    """Leaves with a reset and not with a farewell."""
    link = writer.get_extra_info("socket")
    try:
        link.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    except (AttributeError, OSError):
        pass  # closed already
    writer.transport.abort()


async def one_answer(reader):
    """The first answer's bytes, or what came before the other side closed."""
    try:
        head = await reader.readuntil(b"\r\n\r\n")
    except asyncio.IncompleteReadError as short:
        return short.partial
    length = 0
    for line in head.lower().split(b"\r\n"):
        if line.startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    try:
        return head + await reader.readexactly(length)
    except asyncio.IncompleteReadError as short:
        return head + short.partial


async def exchange(port, attack):
    """Sends an attack. The answer's bytes, b"" when the station closed without one, None when
    nobody waited for it."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port, limit=1 << 22)
    try:
        for piece in attack.pieces:
            writer.write(piece)
            await writer.drain()
        if attack.ending == "reset":
            return None
        if attack.ending == "half":
            writer.write_eof()
        return await one_answer(reader)
    except (ConnectionError, OSError):
        # Refused while it was still sending: its answer may be in the buffer all the same.
        return bytes(getattr(reader, "_buffer", b"")) or (b"" if attack.silent else None)
    finally:
        close_at_once(writer)


async def drip(port, text, gap):
    """Sends text byte by byte until the station has enough of it: 1; 0 when all was sent."""
    try:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
    except OSError:
        await asyncio.sleep(gap)
        return 1
    closed = asyncio.ensure_future(reader.read(1))
    try:
        for at in range(len(text)):
            writer.write(text[at:at + 1])
            done, _ = await asyncio.wait([closed], timeout=gap)
            if done:
                return 1
        return 0
    except OSError:
        return 1
    finally:
        closed.cancel()
        close_at_once(writer)


class Watch:
    """A good page: it holds a stream of the state, and calls now and then."""

    def __init__(self, station, person):
        self.station, self.person = station, person
        self.longest_silence = self.worst = 0.0
        self.pieces = self.calls = 0
        self.trouble = ""
        self.going = True

    def stop(self):
        self.going = False

    async def keep(self):
        loop = asyncio.get_running_loop()
        await asyncio.gather(loop.run_in_executor(None, self.stream), loop.run_in_executor(None, self.call))

    def stream(self):
        link = http.client.HTTPConnection("127.0.0.1", self.station.port, timeout=10)
        try:
            link.request("GET", "/api/live", headers=self.person.headers())
            answer = link.getresponse()
            heard = time.monotonic()
            while self.going and answer.readline():
                self.longest_silence = max(self.longest_silence, time.monotonic() - heard)
                heard = time.monotonic()
                self.pieces += 1
            if self.going:
                self.trouble = "the stream ended"
        except OSError as trouble:
            self.trouble = f"stream: {trouble}"
        finally:
            link.close()

    def call(self):
        while self.going:
            began = time.monotonic()
            try:
                status = self.station.call("GET", "/api/status", headers=self.person.headers())[0]
            except (OSError, http.client.HTTPException) as trouble:
                status = repr(trouble)
            self.worst = max(self.worst, time.monotonic() - began)
            self.calls += 1
            if status != 200:
                self.trouble = f"a call was answered {status}"
            time.sleep(0.1)


class Pace:
    def __init__(self, seconds, units, events):
        self.seconds = seconds
        self.units_a_minute, self.events_a_second = 60.0 * units / seconds, events / seconds


async def pace(station, person, work):
    """How the lot goes on while something is awaited."""
    def now():
        headers = person.headers()
        count = station.call("GET", "/api/status", headers=headers)[2]["count"]
        last = station.call("GET", "/api/events?after=999999999", headers=headers)[2]["last"]
        return time.monotonic(), count["loaded"], last
    loop = asyncio.get_running_loop()
    began, units, events = await loop.run_in_executor(None, now)
    await work
    ended, more_units, more_events = await loop.run_in_executor(None, now)
    return Pace(ended - began, more_units - units, more_events - events)


def whole_audit(station, person):
    """Every entry, page by page, newest first."""
    entries = []
    while True:
        before = f"?before={entries[-1]['id']}" if entries else ""
        page = station.call("GET", "/api/audit" + before, headers=person.headers())[2]["entries"]
        if not page:
            return entries
        entries += page


def settled(process, before):
    """The kernel's figures once the closed connections are gone, or after five seconds."""
    last = time.monotonic() + 5.0
    figures = kernel_figures(process)
    while figures["descriptors"] > before["descriptors"] and time.monotonic() < last:
        time.sleep(0.05)
        figures = kernel_figures(process)
    return figures


def found_in_records(path, texts):
    """Columns of the records that hold one of these texts, the audit's own excepted."""
    found = []
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as database:
        tables = [name for (name,) in database.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        for table in tables:
            if table.startswith("audit"):
                continue
            columns = [row[1] for row in database.execute(f'PRAGMA table_info("{table}")') if row[2] == "TEXT"]
            for column in columns:
                for text in texts:
                    hits = database.execute(f'SELECT count(*) FROM "{table}" WHERE instr("{column}", ?)',
                                            (text,)).fetchone()[0]
                    if hits:
                        found.append((table, column, text))
    return found
