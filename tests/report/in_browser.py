"""Reports in headless Chromium, and every question asked of the same records. Closes with "N passed, N failed"."""

import csv
import html.parser
import io
import json
import os
import re
import signal
import subprocess
import sys
import tempfile

PROGRAM = os.path.join(os.path.abspath(sys.argv[1]), "padtrim")
DOCUMENTS = ["recipes/examples/hob-panel-8.toml", "--fixture", "fixtures/profiles/hob-line-4-nests.toml",
             "--unit", "fixtures/units/hob-panel-8.toml"]
passed = failed = 0


def check(name, good, why=""):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    print(f"{'ok    ' if good else 'not ok'}  {name}" + ("" if good else f": {why}"))


def padtrim(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=300)
    return done.returncode, done.stdout, done.stderr


def lot(folder, name, seed):
    ports = os.path.join(folder, "ports-" + name)
    bench = subprocess.Popen(
        [PROGRAM, "bench", *DOCUMENTS[1:], "--ports", ports, "--seed", seed, "--rate", "100", "--units", "8"],
        stdout=subprocess.PIPE, text=True)
    try:
        for line in bench.stdout:
            if "bench ready" in line:
                break
        code, out, err = padtrim("run", *DOCUMENTS, "--ports", ports, "--records", f"{folder}/r.sqlite",
                                 "--lot", name, "--draft", "--units", "8", "--plain")
        check(f"lot {name} runs", code in (0, 1), err)
    finally:
        bench.send_signal(signal.SIGTERM)
        bench.wait(30)


def chromium(folder, *words):
    """stdout and what the page said on its console."""
    done = subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
         f"--user-data-dir={folder}/profile", "--enable-logging=stderr", "--virtual-time-budget=20000", *words],
        capture_output=True, text=True, timeout=180)
    return done.stdout, [line for line in done.stderr.splitlines() if "CONSOLE" in line]


class Figures(html.parser.HTMLParser):
    """What stands in each <figure>: drawings and tables."""

    def __init__(self):
        super().__init__()
        self.figures, self.inside, self.drawn, self.sheets = [], False, False, 0

    def handle_starttag(self, tag, attributes):
        values = dict(attributes)
        if tag == "html":
            self.drawn = values.get("data-drawn") == "yes"
        if tag == "section":
            self.sheets += 1
        if tag == "figure":
            self.inside = True
            self.figures.append({"id": values.get("id"), "svg": 0, "table": 0, "marks": 0})
        if self.inside and tag in ("svg", "table"):
            self.figures[-1][tag] += 1
        if self.inside and tag in ("path", "rect", "ellipse", "line"):
            self.figures[-1]["marks"] += 1

    def handle_endtag(self, tag):
        if tag == "figure":
            self.inside = False


def report(folder, name, *part):
    page = f"{folder}/{name}.html"
    code, _, err = padtrim("report", "--records", f"{folder}/r.sqlite", "--drafts", *part, "--out", page)
    check(f"report {name} is written", code == 0, err)
    dom, console = chromium(folder, "--dump-dom", "file://" + page)
    check(f"report {name}: no console message", not console, console[:3])
    figures = Figures()
    figures.feed(dom)
    check(f"report {name}: everything is drawn", figures.drawn and figures.sheets >= 3, f"{figures.sheets} sheets")
    check(f"report {name}: there are figures", len(figures.figures) >= 4, len(figures.figures))
    bare = [one["id"] for one in figures.figures if one["svg"] == 0 or one["marks"] < 3 or one["table"] == 0]
    check(f"report {name}: every figure is a drawing with a table", not bare, bare)
    chromium(folder, "--no-pdf-header-footer", f"--print-to-pdf={folder}/{name}.pdf", "file://" + page)
    with open(f"{folder}/{name}.pdf", "rb") as file:
        pages = len(re.findall(rb"/Type\s*/Page\b", file.read()))
    check(f"report {name}: every sheet is printed", pages >= figures.sheets, f"{pages} pages")


def questions(folder):
    """Every question, as text, as JSON and as CSV, and the file's own upkeep."""
    records = ["--records", f"{folder}/r.sqlite"]
    part = [*records, "--drafts"]
    for words in (["yield", "--by", "nest"], ["yield", "--by", "shift-of-day", "--compare", "x", "y"],
                  ["capability", "--check", "gain"], ["capability", "--as-left"], ["chart", "--check", "gain"],
                  ["chart", "--kind", "share"], ["chart", "--kind", "weighted", "--key", "timer"],
                  ["drift", "--check", "offset"], ["gauge", "--check", "gain"], ["trace", "--relay", "17"],
                  ["trace", "HOB8-00001"], ["export", "checks"]):
        wanted = 2 if "--compare" in words else 0
        for face in ([], ["--json"], ["--csv"]):
            code, out, err = padtrim(*words, *part, *face)
            good = code == wanted and (wanted or out)
            if good and face == ["--json"] and not wanted:
                for line in out.splitlines()[:3]:
                    json.loads(line)
            if good and face == ["--csv"] and not wanted:
                rows = list(csv.reader(io.StringIO(out, newline="")))
                good = len({len(row) for row in rows}) <= 1
            check(" ".join(words + face), good, err or out[:200])
    for words, wanted in ((["in-doubt", "--station", "station"], 0), (["lot", "L-1"], 0), (["lot", "none"], 2),
                          (["verify-records"], 0), (["rollups", "rebuild"], 0),
                          (["shifts", "05:00", "13:00", "21:00", "--station", "station", "--who", "M", "--why", "summer"], 0),
                          (["shifts", "25:00", "--station", "station", "--who", "M", "--why", "x"], 2),
                          (["downtime", "--begin", "--reason", "glass", "--station", "station", "--who", "M"], 0),
                          (["downtime", "--end", "--station", "station", "--who", "M"], 0),
                          (["downtime", "--station", "station"], 0),
                          (["backup", "--to", f"{folder}/copy.sqlite"], 0), (["retire"], 0),
                          (["retire", "--older-than", "1", "--who", "M"], 2),
                          (["restore", f"{folder}/copy.sqlite"], 0), (["verify-records"], None)):
        code, out, err = padtrim(*words, *records)
        check(" ".join(words).replace(folder, "..."), code == wanted or (wanted is None and code in (0, 1)), err or out)
    before, after = (padtrim("yield", *part, "--json")[1] for _ in range(2))
    check("a restored copy answers as before", before == after and json.loads(before)["whole"]["count"]["units"] == 16,
          before[:200])


def main():
    with tempfile.TemporaryDirectory() as folder:
        lot(folder, "L-1", "5")
        lot(folder, "L-2", "6")
        report(folder, "lot", "--lot", "L-1")
        report(folder, "period")
        questions(folder)
        code, out, err = padtrim("report", "--records", f"{folder}/r.sqlite", "--lot", "none", "--out", f"{folder}/x.html")
        check("a lot that is not there makes no page", code == 2 and not os.path.exists(f"{folder}/x.html"), err)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
