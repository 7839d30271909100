#!/usr/bin/env python3
"""A station that other machines reach: certificates made by openssl(1), calls by Python's ssl and http.client,
which share nothing with it. What versions and suites are fit: RFC 9325, sections 3.1 and 4.2.

  far_client.py [BUILD_FOLDER]
"""

import http.client
import json
import os
import re
import socket
import ssl
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from checks import Checks  # noqa: E402
from served_station import RECIPE, ROOT, UNIT, FOUR_NESTS, Station  # noqa: E402

BUILD = os.path.join(ROOT, sys.argv[1] if len(sys.argv) > 1 else "build/release")


def openssl(*words):
    subprocess.run(["openssl", *words], check=True, capture_output=True)


class Papers:
    """Certificates and keys in a folder of their own."""

    def __init__(self, folder):
        self.folder = folder

    def path(self, name):
        return os.path.join(self.folder, name)

    def make(self, name, *more, names="DNS:line-3.example,DNS:localhost,IP:127.0.0.1", days="30"):
        pem, key = self.path(name + ".pem"), self.path(name + ".key")
        extension = ["-addext", f"subjectAltName={names}"] if names else []
        openssl("req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", key, "-out", pem, "-subj",
                "/CN=line-3.example", "-days", days, *extension, *more)
        os.chmod(key, 0o600)
        return pem, key


def refusal(*words):
    """What `padtrim serve` says when it does not start, and its exit code."""
    with tempfile.TemporaryDirectory(prefix="padtrim-tls-") as folder:
        os.mkdir(os.path.join(folder, "ports"))
        done = subprocess.run(
            [os.path.join(BUILD, "padtrim"), "serve", RECIPE, "--fixture", FOUR_NESTS, "--unit", UNIT,
             "--records", os.path.join(folder, "records.sqlite"), "--ports", os.path.join(folder, "ports"),
             "--listen", "0", *words], capture_output=True, text=True, timeout=60, cwd=ROOT)
    return done.returncode, done.stderr


def check_refusals(checks, papers):
    pem, key = papers.make("good")
    _, other = papers.make("other")
    ended = papers.path("ended.pem")  # its last day was yesterday
    openssl("x509", "-in", pem, "-signkey", key, "-days", "-1", "-out", ended)
    locked = papers.path("locked.key")
    openssl("rsa", "-aes256", "-passout", "pass:secret", "-in", key, "-out", locked)
    os.chmod(locked, 0o600)
    shown = papers.path("shown.key")
    with open(key, encoding="ascii") as source, open(shown, "w", encoding="ascii") as target:
        target.write(source.read())
    os.chmod(shown, 0o644)
    lent, keyless = papers.path("lent.key"), papers.path("keyless.key")  # the group may write it; no key in it
    for path, text, rights in ((lent, open(key, encoding="ascii").read(), 0o620), (keyless, "nothing", 0o600)):
        with open(path, "w", encoding="ascii") as target:
            target.write(text)
        os.chmod(path, rights)
    nameless = papers.make("nameless", names="")
    at = ["--address", "127.0.0.1:0"]
    for what, words, sentence in (
            ("an address without a certificate", ["--address", "0.0.0.0:0"], "over TLS only"),
            ("a certificate without its key", [*at, "--certificate", pem], "over TLS only"),
            ("a certificate without an address", ["--certificate", pem, "--key", key], "give --address"),
            ("no address", ["--address", "line-3", "--certificate", pem, "--key", key], "is no address"),
            ("an address of nobody here", ["--address", "192.0.2.7:0", "--certificate", pem, "--key", key],
             "cannot answer on 192.0.2.7"),
            ("a file that is not there", [*at, "--certificate", "/no/such", "--key", key], "cannot be read (No such"),
            ("a file without a certificate", [*at, "--certificate", RECIPE, "--key", key], "no certificate in"),
            ("a file without a key", [*at, "--certificate", pem, "--key", keyless], "no private key in"),
            ("a key of another certificate", [*at, "--certificate", pem, "--key", other], "does not belong to"),
            ("a key with a password", [*at, "--certificate", pem, "--key", locked], "has a password"),
            ("a key that everybody may read", [*at, "--certificate", pem, "--key", shown], "chmod g-w,o= "),
            ("a key that its group may write", [*at, "--certificate", pem, "--key", lent], "chmod g-w,o= "),
            ("a certificate that has run out", [*at, "--certificate", ended, "--key", key], "ran out on 20"),
            ("a certificate without a name", [*at, "--certificate", nameless[0], "--key", nameless[1]],
             "subjectAltName")):
        code, said = refusal(*words)
        checks.that(f"{what} is refused, and it says so", code == 2 and sentence in said and said.count("\n") < 4,
                    (code, said))
    return pem, key


class Far:
    """A client that trusts this one certificate."""

    def __init__(self, port, pem, **limits):
        self.port = port
        self.context = ssl.create_default_context(cafile=pem)
        for name, value in limits.items():
            setattr(self.context, name, value)

    def shake(self, name="line-3.example"):
        with socket.create_connection(("127.0.0.1", self.port), timeout=10) as plain:
            with self.context.wrap_socket(plain, server_hostname=name) as link:
                return link.version(), link.cipher()[0]

    def call(self, method, path, body=None, headers=None):
        link = http.client.HTTPSConnection("127.0.0.1", self.port, timeout=20, context=self.context)
        fields = {"Host": f"line-3.example:{self.port}", **(headers or {})}
        data = None if body is None else json.dumps(body)
        if data:
            fields["Content-Type"] = "application/json"
        link.request(method, path, data, fields)
        answer = link.getresponse()
        text = answer.read().decode()
        link.close()
        kept = dict(answer.getheaders())
        return answer.status, kept, json.loads(text) if "json" in kept.get("Content-Type", "") else text


def check_versions(checks, port, pem):
    checks.that("TLS 1.3 is spoken", Far(port, pem).shake()[0] == "TLSv1.3")
    version, suite = Far(port, pem, maximum_version=ssl.TLSVersion.TLSv1_2).shake()
    checks.that("TLS 1.2 is spoken, with forward secrecy and authenticated encryption",
                version == "TLSv1.2" and suite.startswith("ECDHE-") and ("GCM" in suite or "CHACHA20" in suite), suite)
    for version in ("-tls1_1", "-tls1"):
        old = subprocess.run(["openssl", "s_client", "-connect", f"127.0.0.1:{port}", version, "-cipher",
                              "ALL:@SECLEVEL=0"], input="", capture_output=True, text=True, timeout=20)
        checks.that(f"{version[1:]} is not", "Cipher is (NONE)" in old.stdout, old.stdout[-400:])
    for suites in ("AES128-SHA256:AES256-GCM-SHA384", "ECDHE+AES:!AESGCM"):
        weak = subprocess.run(["openssl", "s_client", "-connect", f"127.0.0.1:{port}", "-tls1_2", "-cipher", suites],
                              input="", capture_output=True, text=True, timeout=20)
        checks.that(f"{suites} is not", "Cipher is (NONE)" in weak.stdout, weak.stdout[-400:])
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=15) as plain:
            plain.sendall(b"GET /api/status HTTP/1.1\r\nHost: line-3.example\r\n\r\n")
            said = plain.recv(100)
    except ConnectionResetError:
        said = b""
    checks.that("plain HTTP gets nothing there", not said.startswith(b"HTTP"), said)


def check_calls(checks, station, far):
    status, headers, page = far.call("GET", "/")
    checks.that("a page is served", status == 200 and "<!doctype html>" in page.lower(), (status, page[:100]))
    checks.that("it may not be framed", "frame-ancestors 'none'" in headers["Content-Security-Policy"], headers)
    status, _, _ = far.call("GET", "/api/status")
    checks.that("nobody passes without a login, though nobody has one yet", status == 401, status)
    checks.that("this machine still does", station.call("GET", "/api/status")[0] == 200)
    status, _, _ = far.call("GET", "/", headers={"Host": "shop.example"})
    checks.that("a name that the certificate does not hold is refused", status == 403, status)
    with open(station.records + ".daemon-key", encoding="ascii") as file:
        key = file.read().strip()
    boss = {"name": "boss", "password": "words of boss"}
    status, _, said = far.call("POST", "/api/session/first", {"code": station.code(), **boss})
    checks.that("the first administrator is made from there by the printed code", status == 200, said)
    status, _, _ = far.call("GET", "/api/status", headers={"Authorization": f"Bearer {key}"})
    checks.that("the key of this machine is worth nothing there", status == 401, status)
    status, headers, session = far.call("POST", "/api/session", boss)
    cookie = headers.get("Set-Cookie", "")
    checks.that("the cookie is Secure, HttpOnly and SameSite=Strict",
                re.match(r"__Host-padtrim_session_[1-9]\d*=\w", cookie) and
                all(word in cookie for word in ("; Secure", "; HttpOnly", "; SameSite=Strict", "; Path=/")), cookie)
    mine = {"Cookie": cookie.split(";")[0], "X-Padtrim-Proof": session["proof"]}
    checks.that("whoever is logged in is answered", far.call("GET", "/api/status", headers=mine)[0] == 200)
    home = {"Origin": f"https://line-3.example:{far.port}", **mine}
    checks.that("and may change something", far.call("POST", "/api/lot/start", {"lot": "far"}, home)[0] == 202)
    foreign = {"Origin": f"http://line-3.example:{far.port}", **mine}
    checks.that("a page without TLS may not", far.call("POST", "/api/lot/stop", {}, foreign)[0] == 403)
    checks.that("the audit tells from where", far.call("GET", "/api/audit", headers=mine)[2]["entries"][0]["address"]
                == "127.0.0.1")
    status, headers, _ = station.call("POST", "/api/session", boss)
    checks.that("on the loopback address the cookie is not Secure, or no browser would send it",
                status == 200 and "Secure" not in headers["Set-Cookie"], headers)
    check_stream(checks, far, mine)


def check_wildcard(checks, papers):
    """A certificate whose first name is a whole domain: the address to tell is one that can be opened."""
    pem, key = papers.make("wild", names="DNS:*.padtrim.example,IP:127.0.0.1")
    station = Station(BUILD, serve_with=("--address", "127.0.0.1:0", "--certificate", pem, "--key", key))
    try:
        said = station.daemon.said
        checks.that("it tells the name that is no wildcard", re.search(r"and https://127\.0\.0\.1:\d+", said), said)
    finally:
        station.end()
    pem, key = papers.make("wilder", names="DNS:*.padtrim.example")
    station = Station(BUILD, serve_with=("--address", "127.0.0.1:0", "--certificate", pem, "--key", key))
    try:
        said = station.daemon.said
        checks.that("where all are wildcards it tells the address that was given",
                    re.search(r"and https://127\.0\.0\.1:\d+", said) and "*" not in said, said)
    finally:
        station.end()


def check_stream(checks, far, mine):
    link = http.client.HTTPSConnection("127.0.0.1", far.port, timeout=20, context=far.context)
    link.request("GET", "/api/live", headers={"Host": f"line-3.example:{far.port}", **mine})
    answer = link.getresponse()
    first = answer.readline()
    checks.that("the state streams", answer.status == 200 and first.startswith(b"data: {"), first[:80])
    far.call("POST", "/api/session/end", {}, mine)
    rest = answer.read()  # to its end: within the time-out, or this raises
    checks.that("until its session is logged out", rest.count(b"\n") < 2000, len(rest))
    link.close()


def main():
    checks = Checks()
    with tempfile.TemporaryDirectory(prefix="padtrim-papers-") as folder:
        pem, key = check_refusals(checks, Papers(folder))
        station = Station(BUILD, serve_with=("--address", "127.0.0.1:0", "--certificate", pem, "--key", key))
        try:
            said = station.daemon.said
            named = re.search(r"and https://line-3\.example:(\d+)", said)
            checks.that("the daemon says where", named is not None, said)
            check_versions(checks, int(named.group(1)), pem)
            check_calls(checks, station, Far(int(named.group(1)), pem))
        finally:
            station.end()
        check_wildcard(checks, Papers(folder))
    return checks.told()


if __name__ == "__main__":
    sys.exit(main())
