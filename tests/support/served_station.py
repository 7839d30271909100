"""A station as people meet it: the real `padtrim serve` beside a virtual bench, in a folder of its
own, for tests in Python's standard library."""

import http.client
import json
import os
import re
import shutil
import subprocess
import tempfile
import time

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
RECIPE = os.path.join(ROOT, "recipes/examples/hob-panel-8.toml")
UNIT = os.path.join(ROOT, "fixtures/units/hob-panel-8.toml")
FOUR_NESTS = os.path.join(ROOT, "fixtures/profiles/hob-line-4-nests.toml")


class Program:
    """A process that is known by what it says on stdout and stderr."""

    def __init__(self, words):
        self.output = tempfile.TemporaryFile()  # a pipe that nobody reads would hold it up
        self.process = subprocess.Popen(words, cwd=ROOT, stdin=subprocess.DEVNULL,
                                        stdout=self.output, stderr=subprocess.STDOUT)

    @property
    def said(self):
        self.output.seek(0, os.SEEK_END)
        return os.pread(self.output.fileno(), self.output.tell(), 0).decode("utf-8", "replace")

    def until(self, text, patience=60.0):
        last = time.monotonic() + patience
        while text not in self.said:
            if not self.lives():
                raise RuntimeError(f"ended with {self.process.wait()}: {self.said}")
            if time.monotonic() > last:
                raise RuntimeError(f"did not say {text!r}: {self.said}")
            time.sleep(0.02)
        return self.said

    @property
    def id(self):
        return self.process.pid

    def lives(self):
        return self.process.poll() is None

    def end(self):
        if self.lives():
            self.process.kill()
        self.process.wait(30)
        self.output.close()


def kernel_figures(process):
    """What the kernel says of a process: descriptors, threads, memory in KiB, processor seconds."""
    with open(f"/proc/{process}/status", encoding="ascii") as file:
        status = dict(line.split(":", 1) for line in file)
    with open(f"/proc/{process}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(")", 1)[1].split()
    ticks = os.sysconf("SC_CLK_TCK")
    return {"descriptors": len(os.listdir(f"/proc/{process}/fd")),
            "threads": int(status["Threads"]),
            "memory": int(status["VmRSS"].split()[0]),
            "highest memory": int(status["VmHWM"].split()[0]),
            "seconds": (int(fields[11]) + int(fields[12])) / ticks}


class Station:
    """Bench and daemon. `..._with`: more words for them; `..._before`: words before their own
    (taskset, say); `fixture`: another profile."""

    def __init__(self, build, rate=60, units=3000, fixture=FOUR_NESTS, recipe=RECIPE,
                 bench_with=("--defects", "none"), serve_with=(), serve_before=(),
                 bench_before=()):
        self.folder = tempfile.mkdtemp(prefix="padtrim-served-")
        self.bench = self.daemon = None
        program = os.path.join(build, "padtrim")
        self.records = os.path.join(self.folder, "records.sqlite")
        ports = os.path.join(self.folder, "ports")
        os.mkdir(ports)
        plan = [recipe, "--fixture", fixture, "--unit", UNIT, "--records", self.records]
        try:
            self.bench = Program([*bench_before, program, "bench", *plan[1:5], "--ports", ports, "--seed", "3",
                                  "--rate", str(rate), "--units", str(units), *bench_with])
            self.bench.until("bench ready")
            subprocess.run([program, "release", *plan, "--who", "suite", "--why", "test"], cwd=ROOT,
                           check=True, stdout=subprocess.DEVNULL)
            self.daemon = Program([*serve_before, program, "serve", *plan, "--ports", ports,
                                   "--station", "line-3", "--listen", "0", *serve_with])
            said = self.daemon.until("listens on ")
            self.daemon.until("give the code ")
        except BaseException:
            self.end()
            raise
        self.address = re.search(r"listens on (\S+)", said).group(1)
        self.port = int(self.address.rsplit(":", 1)[1])

    def code(self):
        return re.search(r"give the code (\S+)\.", self.daemon.until("give the code ")).group(1)

    def call(self, method, path, body=None, headers=None, timeout=20.0):
        """Status, headers and JSON (or text) of the answer."""
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=timeout)
        try:
            fields = dict(headers or {})
            data = None if body is None else json.dumps(body)
            if data is not None:
                fields["Content-Type"] = "application/json"
            link.request(method, path, data, fields)
            answer = link.getresponse()
            text = answer.read().decode("utf-8", "replace")
        finally:
            link.close()
        known = dict(answer.getheaders())
        if known.get("Content-Type", "").startswith("application/json"):
            return answer.status, known, json.loads(text)
        return answer.status, known, text

    def end(self):
        for one in (self.daemon, self.bench):
            if one:
                one.end()
        shutil.rmtree(self.folder, ignore_errors=True)
