#!/usr/bin/env python3
"""A storm of hostile requests at a station that works, and what has to hold meanwhile and after it.
Prints "N passed, N failed".

  storm.py [BUILD_FOLDER [REQUESTS [SEED]]]     (build/release, 3000 or 100000, drawn and printed)
"""

import asyncio
import json
import os
import random
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import attacks  # noqa: E402
import besieged  # noqa: E402
from checks import Checks  # noqa: E402
from served_station import ROOT, Station  # noqa: E402

LONG = os.environ.get("PADTRIM_LONG") == "1"
AT_ONCE = 24       # hostile requests under way
SLOW = 200         # connections that are fed a byte now and then: more than the station keeps
CALM = 60.0 if LONG else 4.0  # s in which the pace without a storm is measured


class Storm:
    """Draws attacks, sends them, and keeps what was wrong with the answers."""

    def __init__(self, port, people, secrets, draw):
        self.port, self.people, self.secrets, self.draw = port, people, secrets, draw
        self.sent = {}
        self.statuses = {}
        self.wrong = []
        self.slow_closed = 0

    async def rage(self, requests):
        left = iter(range(requests))

        async def worker():
            for _ in left:
                await self.one(attacks.drawn(self.draw, self.people))
        await asyncio.gather(*(worker() for _ in range(AT_ONCE)))

    async def one(self, attack):
        self.sent[attack.kind] = self.sent.get(attack.kind, 0) + 1
        try:
            answer = await asyncio.wait_for(besieged.exchange(self.port, attack), 20.0)
        except asyncio.TimeoutError:
            return self.blame(attack, "no end within 20 s")
        if answer is None:
            return None
        if not answer:
            return None if attack.silent else self.blame(attack, "no answer")
        return self.judge(attack, answer)

    def judge(self, attack, answer):
        head, _, body = answer.partition(b"\r\n\r\n")
        lines = head.decode("latin-1").split("\r\n")
        status = int(lines[0].split(" ")[1]) if lines[0].startswith("HTTP/1.") else 0
        self.statuses[status] = self.statuses.get(status, 0) + 1
        fields = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines[1:])}
        if status not in attack.allowed:
            self.blame(attack, f"answered {lines[0]!r} {body[:200]!r}")
        for secret, what in self.secrets.items():
            if secret in answer:
                self.blame(attack, f"the answer tells {what}")
        if fields.get("x-content-type-options") != "nosniff" or "content-security-policy" not in fields:
            self.blame(attack, f"an answer that a browser may take for something else: {lines}")
        if attack.kind == "stored script" and fields.get("content-type") != "application/json":
            self.blame(attack, f"a {fields.get('content-type')} with what was sent")

    def blame(self, attack, what):
        self.wrong.append((attack.kind, what, b"".join(attack.pieces)[:300]))

    async def drip(self, seconds):
        """One slow client: a byte every fifth of a second, and again when it was let go."""
        async def one():
            text = attacks.request("GET", "/api/status", [("X-Slow", "s" * 4000)])
            while True:
                self.slow_closed += await besieged.drip(self.port, text, 0.2)
        tasks = [asyncio.create_task(one()) for _ in range(SLOW)]
        await asyncio.sleep(seconds)
        return tasks


async def besiege(station, people, requests, draw):
    storm = Storm(station.port, people, besieged.secrets_of(station), draw)
    watch = besieged.Watch(station, people["worker"])
    watching = asyncio.create_task(watch.keep())
    slow = []
    try:
        calm = await besieged.pace(station, people["worker"], asyncio.sleep(CALM))
        slow = await storm.drip(0.5)
        stormy = await besieged.pace(station, people["worker"], storm.rage(requests))
    finally:
        for task in slow:
            task.cancel()
        await asyncio.gather(*slow, return_exceptions=True)
        watch.stop()
        await watching
    return storm, watch, calm, stormy


def check(checks, storm, watch, requests):
    sent = sum(storm.sent.values())
    checks.that(f"{requests} hostile requests were sent", sent == requests, sent)
    checks.that("every kind of attack was among them", len(storm.sent) == len(attacks.KINDS), storm.sent)
    checks.that("none was answered as it should not be", not storm.wrong,
                "".join(f"\n   {one}" for one in storm.wrong[:8]) + f"\n   {len(storm.wrong)} in all")
    checks.that("a page that watched was told the state all the time",
                watch.longest_silence < 5.0 and watch.pieces > 10 and not watch.trouble,
                (watch.longest_silence, watch.pieces, watch.trouble))
    checks.that("an operator's calls were answered all the time",
                watch.calls > 10 and watch.worst < 5.0, (watch.calls, watch.worst, watch.trouble))


def check_after(checks, station, before, people):
    checks.that("the daemon lives", station.daemon.lives(), station.daemon.said[-2000:])
    after = besieged.settled(station.daemon.id, before)
    checks.that("no descriptor is left over", after["descriptors"] <= before["descriptors"],
                (before, after))
    checks.that("no thread is left over", after["threads"] <= before["threads"], (before, after))
    grown = (after["memory"] - before["memory"]) / 1024
    highest = (after["highest memory"] - before["memory"]) / 1024
    # 160 connections may each hold a body of a megabyte, twice: the bytes and the text.
    checks.that(f"memory is bounded: {grown:.0f} MiB more than before, {highest:.0f} MiB at most",
                grown < 64 and highest < 400, (before, after))
    status, _, state = station.call("GET", "/api/status", headers=people["boss"].headers())
    checks.that("the lot is still at work, and nobody stole it",
                status == 200 and state["state"] == "running" and state["lot"] == "siege", state)
    names = [one["name"] for one in station.call("GET", "/api/accounts", headers=people["boss"].headers())[2]["accounts"]]
    checks.that("nobody has made a login", sorted(names) == ["boss", "reader", "worker"], names)
    check_audit(checks, station, people)
    checks.that("nothing of what was sent is in the records' texts",
                not besieged.found_in_records(station.records, attacks.SCRIPTS),
                besieged.found_in_records(station.records, attacks.SCRIPTS))


def check_audit(checks, station, people):
    entries = besieged.whole_audit(station, people["boss"])
    begun = [one for one in entries if one["act"] == "POST /api/lot/start" and one["status"] == 202]
    shown = [(one["who"], one["role"], one["before"]["state"], one["after"]["lot"]) for one in begun]
    logins = {one["who"] for one in entries if one["act"] == "log in" and one["status"] == 200}
    checks.that("the audit tells the first logins, and that nobody but boss began a lot",
                logins == {"boss", "worker", "reader"} and
                shown == [("boss", "administrator", "ready", "siege")], (logins, shown))
    refused = [one for one in entries if one["status"] == 403 and one["who"] == "reader"]
    checks.that("it tells whom it refused", refused, entries[:3])
    told = json.dumps(entries)
    checks.that("it tells no password", not any(word in told for word in ("words of", "guess1")), "")


def main():
    build = os.path.join(ROOT, sys.argv[1] if len(sys.argv) > 1 else "build/release")
    requests = int(sys.argv[2]) if len(sys.argv) > 2 else 100000 if LONG else 3000
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else random.randrange(10**6)
    print(f"seed {seed}")
    checks = Checks()
    station = Station(build, rate=60)
    try:
        people = besieged.let_in(station)
        besieged.begin_lot(station, people["boss"])
        before = besieged.kernel_figures(station.daemon.id)
        storm, watch, calm, stormy = asyncio.run(besiege(station, people, requests, random.Random(seed)))
        check(checks, storm, watch, requests)
        check_after(checks, station, before, people)
        print(f"sent {storm.sent}; answered {dict(sorted(storm.statuses.items()))}; "
              f"{storm.slow_closed} slow connections let go")
        print(f"slowest of {watch.calls} calls of an operator {watch.worst * 1000:.0f} ms, longest "
              f"silence of a page {watch.longest_silence * 1000:.0f} ms")
        # A run of seconds is too short to count units; their steps tell the same.
        print(f"{requests / stormy.seconds:.0f} requests/s; steps of units a second {calm.events_a_second:.1f} calm, "
              f"{stormy.events_a_second:.1f} in the storm: ratio {stormy.events_a_second / calm.events_a_second:.2f}")
        if LONG:
            print(f"units/min {calm.units_a_minute:.1f} calm, {stormy.units_a_minute:.1f} in the storm: "
                  f"ratio {stormy.units_a_minute / max(calm.units_a_minute, 0.1):.2f}")
    finally:
        station.end()
    return checks.told()


if __name__ == "__main__":
    sys.exit(main())
