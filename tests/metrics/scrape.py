"""/api/metrics beside a strict parser of the OpenMetrics text format: that of python3-prometheus-client, the
format's reference implementation. The figures are held against what the station says elsewhere.

  scrape.py [BUILD_FOLDER]
"""

import os
import subprocess
import sys
import tempfile
import time

from prometheus_client.openmetrics.parser import text_string_to_metric_families

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from checks import Checks  # noqa: E402
from served_station import FOUR_NESTS, RECIPE, ROOT, UNIT, Station, kernel_figures  # noqa: E402

BUILD = os.path.join(ROOT, sys.argv[1] if len(sys.argv) > 1 else "build/release")
LOT = "scraped \\ \"lot\""


def scrape(station, headers=None):
    status, fields, text = station.call("GET", "/api/metrics", headers=headers)
    assert status == 200, (status, text)
    families = {family.name: family for family in text_string_to_metric_families(text)}  # or it raises
    values = {(sample.name, tuple(sorted(sample.labels.items()))): sample.value
              for family in families.values() for sample in family.samples}
    return fields, text, families, values


def check_form(checks, fields, text, families):
    checks.that("the content type is OpenMetrics 1.0", fields["Content-Type"] ==
                "application/openmetrics-text; version=1.0.0; charset=utf-8", fields)
    checks.that("every family is the station's own", all(name.startswith("padtrim_") for name in families), list(families))
    checks.that("it ends with # EOF", text.endswith("\n# EOF\n"), text[-50:])
    checks.that("every family says what it is", all(family.documentation and family.type != "unknown"
                                                   for family in families.values()), families)
    wrong = [name for name, family in families.items()
             if name.endswith(("_seconds", "_bytes")) and not name.endswith(family.unit or "none")]
    checks.that("every unit is told", not wrong and families["padtrim_daemon_processor_seconds"].unit == "seconds", wrong)


def check_figures(checks, station, values):
    kernel = kernel_figures(station.daemon.id)
    told = values[("padtrim_daemon_processor_seconds_total", ())]
    checks.that("processor time is the kernel's", 0 <= told <= kernel["seconds"] + 0.02, (told, kernel))
    resident = values[("padtrim_daemon_memory_bytes", ())] / 1024
    checks.that("memory is the kernel's", abs(resident - kernel["memory"]) < 8192, (resident, kernel))
    checks.that("threads are the kernel's", values[("padtrim_daemon_threads", ())] == kernel["threads"], kernel)
    checks.that("descriptors are the kernel's", abs(values[("padtrim_daemon_open_files", ())] - kernel["descriptors"]) <= 2,
                (values[("padtrim_daemon_open_files", ())], kernel))
    started = time.time() - values[("padtrim_daemon_begun_seconds", ())]
    checks.that("it started a moment ago", 0 < started < 120, started)


def check_lot(checks, station):
    """Four units, one of them with a dead channel; every number against the lot's own count."""
    status, _, said = station.call("POST", "/api/lot/start", {"lot": LOT, "units": 4})
    assert status == 202, said
    running = scrape(station)[3]
    checks.that("it says that it runs", running[("padtrim_station_state", (("padtrim_station_state", "running"),))] == 1)
    last = time.monotonic() + 120
    while (now := station.call("GET", "/api/status")[2])["state"] == "running" and time.monotonic() < last:
        time.sleep(0.05)
    values = scrape(station)[3]
    for verdict, member in (("pass", "pass"), ("fail", "fail"), ("inconclusive", "inconclusive"),
                            ("no verdict", "no_verdict")):
        told = values[("padtrim_units_total", (("verdict", verdict),))]
        checks.that(f"units with the verdict {verdict}", told == now["count"][member], (told, now["count"]))
    checks.that("the lot took processor time", values[("padtrim_daemon_processor_seconds_total", ())] > 0)
    checks.that("one of them failed", now["count"]["fail"] == 1, now["count"])
    for port in ("relays", "nest-1", "nest-4"):
        checks.that(f"transactions of {port}", values[("padtrim_link_transactions_total", (("port", port),))] > 20)
    retries = sum(value for (name, _), value in values.items() if name == "padtrim_link_retries_total")
    silent = sum(value for (name, _), value in values.items() if name == "padtrim_link_silences_total")
    failed = sum(value for (name, _), value in values.items() if name == "padtrim_link_failures_total")
    # Each attempt without an answer is followed by another, or its transaction has failed.
    checks.that("a port that fell silent has its retries", retries >= 1 and 1 <= silent <= retries + failed,
                (retries, silent, failed))
    return values


def check_doors(checks, station, before):
    checks.that("answers are counted", before[("padtrim_http_responses_total", (("status", "2xx"),))] >= 4, before)
    refused = ("padtrim_http_responses_total", (("status", "4xx"),))
    for _ in range(3):
        station.call("GET", "/api/nothing")
    checks.that("refused ones too", scrape(station)[3][refused] == before[refused] + 3)
    status, _, _ = station.call("POST", "/api/metrics", {})
    checks.that("they are only read", status == 405, status)
    station.call("POST", "/api/session/first", {"code": station.code(), "name": "boss", "password": "words of boss"})
    checks.that("once logins are asked for, nobody reads them without", station.call("GET", "/api/metrics")[0] == 401)
    with open(station.records + ".metrics-key", encoding="ascii") as file:
        key = {"Authorization": "Bearer " + file.read().strip()}
    checks.that("but with the key for them", scrape(station, key)[3])
    checks.that("which opens nothing else", station.call("GET", "/api/status", headers=key)[0] == 401)
    rights = os.stat(station.records + ".metrics-key").st_mode & 0o777
    checks.that("and is its owner's alone", rights == 0o600, oct(rights))


def check_key_that_is_shown(checks):
    """A key that everybody may read is none: the daemon does not start with it, and says so."""
    with tempfile.TemporaryDirectory(prefix="padtrim-metrics-") as folder:
        records, ports = os.path.join(folder, "records.sqlite"), os.path.join(folder, "ports")
        os.mkdir(ports)
        with open(records + ".metrics-key", "w", encoding="ascii") as file:
            file.write("key\n")
        os.chmod(records + ".metrics-key", 0o644)
        done = subprocess.run([os.path.join(BUILD, "padtrim"), "serve", RECIPE, "--fixture", FOUR_NESTS, "--unit", UNIT,
                               "--records", records, "--ports", ports, "--listen", "0"],
                              capture_output=True, text=True, timeout=60, cwd=ROOT)
        checks.that("a key that everybody may read is refused", done.returncode == 2 and "chmod g-w,o= " in done.stderr,
                    (done.returncode, done.stderr))


def main():
    checks = Checks()
    station = Station(BUILD, bench_with=("--defects", "2:dead_channel@3", "--fault", "3+60:silence@nest-1"))
    try:
        fields, text, families, values = scrape(station)
        check_form(checks, fields, text, families)
        check_figures(checks, station, values)
        check_doors(checks, station, check_lot(checks, station))
    finally:
        station.end()
    check_key_that_is_shown(checks)
    return checks.told()


if __name__ == "__main__":
    sys.exit(main())
