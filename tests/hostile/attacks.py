"""What a hostile client sends. Every attack is drawn from a seeded source: the same seed sends the
same bytes. Malformed messages after RFC 9112 (sections 3, 5, 6.3 and 7.1 say what a server has to
refuse); traversal, cross-site requests and stored script as the OWASP Web Security Testing Guide
groups them. The lists of strings are our own.
"""

import json

SCRIPTS = ('<script>document.title="owned"</script>', '"><img src=x onerror=alert(1)>',
           "javascript:alert(1)//", "{{7*7}}${7*7}", "</script><svg/onload=alert(1)>",
           "'; DROP TABLE run; --", "\u202etxt.exe", "%0d%0aSet-Cookie: a=b", "\x00\x1b[2J")
OUTSIDE = ("etc/passwd", "proc/self/environ", "proc/self/maps", "records.sqlite",
           "records.sqlite.accounts", "records.sqlite.daemon-key", "records.sqlite.key",
           "station/web/gate.cpp", "canary.txt")
UPWARDS = ("../", "..%2f", "%2e%2e/", "%2e%2e%2f", "..\\", "..%5c", "....//", "%252e%252e/",
           "..%c0%af", "./", "//", "/%2e/", "..;/")
CALLS = (("GET", "/api/status"), ("GET", "/api/live"), ("GET", "/api/panel"), ("GET", "/api/plan"),
         ("GET", "/api/releases"), ("GET", "/api/unit?serial=HOB8-00001"),
         ("GET", "/api/observations?run=1"), ("GET", "/api/events?after=0"),
         ("POST", "/api/lot/start"), ("POST", "/api/lot/stop"), ("POST", "/api/shift-check/start"),
         ("POST", "/api/nest/1/abort"), ("POST", "/api/nest/2/load"),
         ("POST", "/api/nest/3/answer"), ("POST", "/api/nest/4/put-aside"),
         ("POST", "/api/fault/clear"), ("GET", "/api/fixture/hold"), ("POST", "/api/fixture/take"), ("POST", "/api/fixture/finger"),
         ("POST", "/api/recipe/release"), ("POST", "/api/recipe/withdraw"), ("GET", "/api/recipe"), ("GET", "/api/metrics"), ("GET", "/api/audit"), ("GET", "/api/accounts"), ("POST", "/api/accounts"),
         ("POST", "/api/accounts/remove"), ("PUT", "/api/lot/start"), ("DELETE", "/api/unit"),
         *(("GET", f"/api/quality/{name}") for name in (
             "overview", "choices", "yield", "failures", "capability", "chart?check=gain", "drift", "gauge", "gauge-steps",
             "in-doubt?station=line-3", "trace?relay=17", "lot?lot=siege", "dispositions?which=waiting", "alarms?all=yes", "sampling", "capability?check=gain&low=1&high=2")),
         ("POST", "/api/quality/dispose"), ("POST", "/api/quality/alarm"), ("POST", "/api/quality/freeze"), ("POST", "/api/quality/sampling-result"),
         *(("POST", f"/api/quality/sampling-{act}") for act in ("plan", "units", "resume")), ("POST", "/api/fixture/replaced"), ("PUT", "/api/quality/dispose"))
REFUSED = frozenset((400, 401, 403, 404, 405, 409, 413, 415, 429, 431, 503))


class Attack:
    """Bytes in pieces, and what may be answered: a status of `allowed`, or (where `silent`) nothing.
    `ending`: "close" waits for the answer and closes, "half" says first that nothing follows,
    "reset" leaves without listening."""

    def __init__(self, kind, pieces, allowed=REFUSED, silent=False, ending="close"):
        self.kind, self.pieces = kind, pieces
        self.allowed, self.silent, self.ending = allowed, silent, ending


def request(method, target, fields=(), body=b"", host="127.0.0.1"):
    head = [f"{method} {target} HTTP/1.1"]
    if host is not None:
        head.append(f"Host: {host}")
    head += [f"{name}: {value}" for name, value in fields]
    if body:
        head += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
    return ("\r\n".join(head) + "\r\n\r\n").encode("utf-8", "surrogateescape") + body


def noise(draw, most):
    return draw.randbytes(draw.randint(1, most))


def malformed(draw, _):
    line = "POST /api/lot/stop HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    bad = (line + "Content-Length: -1\r\n\r\n", line + "Content-Length: 3\r\nContent-Length: 4\r\n\r\nabc",
           line + "Content-Length: 99999999999999999999\r\n\r\n",
           line + "Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
           line + "Transfer-Encoding: chunked\r\n\r\nZZ\r\nabc\r\n0\r\n\r\n",
           line + "Transfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\n",
           line + "Transfer-Encoding: chunked\r\n\r\n-1\r\n\r\n",
           line + "Transfer-Encoding: chunked\r\n\r\n3\r\nabcdef\r\n",
           line + "Name\r\n\r\n", line + " folded: line\r\n\r\n", line + "Na me: x\r\n\r\n",
           line + "X: a\x00b\r\n\r\n", line + ": nothing\r\n\r\n",
           "GET / HTTP/9.9\r\nHost: 127.0.0.1\r\n\r\n", "GET / HTTP/1.1 extra\r\n\r\n",
           "GET\r\n\r\n", "\r\n\r\n\r\n", "GET  /  HTTP/1.1\r\n\r\n", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
           "get /api/status http/1.1\r\n\r\n", "CONNECT evil.example:80 HTTP/1.1\r\n\r\n",
           "GET http://evil.example/ HTTP/1.1\r\nHost: evil.example\r\n\r\n",
           "GET /api/status HTTP/1.0\r\n\r\n", "OPTIONS * HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
           "TRACE / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03")
    choice = draw.choice(bad).encode("latin-1") if draw.random() < 0.7 else noise(draw, 2000)
    return Attack("malformed", [choice], silent=True, ending="half")


def mutated(draw, _):
    """A good request with some bytes put in, out or changed: anything but a change is allowed."""
    bytes_ = bytearray(request("GET", draw.choice(("/", "/plan", "/api/health")),
                               [("Accept", "*/*"), ("If-None-Match", '"x"')]))
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(bytes_))
        how = draw.randrange(3)
        if how == 0:
            bytes_[at] = draw.randrange(256)
        elif how == 1:
            del bytes_[at:at + draw.randint(1, 4)]
        else:
            bytes_[at:at] = noise(draw, 4)
    return Attack("mutated", [bytes(bytes_)], REFUSED | {200, 304}, silent=True, ending="half")


def oversized(draw, _):
    how = draw.randrange(6)
    if how == 0:
        return Attack("oversized", [request("GET", "/" + "a" * draw.randint(8200, 90000))])
    if how == 1:
        fields = [(f"X-{i}", "y") for i in range(draw.randint(1000, 4000))]
        return Attack("oversized", [request("GET", "/api/status", fields)])
    if how == 2:
        return Attack("oversized", [request("GET", "/api/status", [("Cookie", "c" * 70000)])])
    if how == 3:
        head = request("POST", "/api/lot/start", [("Content-Type", "application/json"),
                                                  ("Content-Length", str(draw.randint(2, 900) << 20))])
        return Attack("oversized", [head, b"{" * draw.randint(1, 30000)])
    if how == 4:
        head = request("POST", "/api/lot/start", [("Content-Type", "application/json"),
                                                  ("Transfer-Encoding", "chunked")])
        return Attack("oversized", [head] + [b"10000\r\n" + b"[" * 0x10000 + b"\r\n"] * 18, silent=True)
    deep = b"[" * draw.randint(100, 50000)
    return Attack("oversized", [request("POST", "/api/session", body=b'{"name":' + deep)])


def traversal(draw, _):
    ups = "".join(draw.choice(UPWARDS) for _ in range(draw.randint(1, 8)))
    place = draw.choice(("/", "/pages/", "/api/", "/openapi.json/", ""))
    end = draw.choice(("", "", "%00.html", "?", "#", ".html", "/."))
    return Attack("traversal", [request("GET", (place + ups + draw.choice(OUTSIDE) + end) or "/")])


def credentials(draw, people):
    mine = people["boss"].cookie.split("=")[0]  # how the station names its cookie
    token = "".join(draw.choice("0123456789abcdef") for _ in range(64))
    return draw.choice(([], [("Cookie", f"{mine}={token}")], [("Cookie", f"{mine}=")],
                        [("Authorization", f"Bearer {token}")], [("Authorization", "Basic Ym9zczpib3Nz")],
                        [("Cookie", f"{mine}=%00; {mine}"), ("X-Padtrim-Proof", token)]))


def unauthorised(draw, people):
    method, target = draw.choice(CALLS)
    body = b'{"lot":"stolen","operator":"nobody","name":"boss"}' if method != "GET" else b""
    return Attack("unauthorised", [request(method, target, credentials(draw, people), body)],
                  frozenset((401, 403)))


def cross_site(draw, people):
    """What a page from elsewhere can make a browser send: the cookie of somebody who is logged in
    at most, and never the proof."""
    cookie = ("Cookie", people["boss"].cookie)
    body = b'{"lot":"stolen"}'
    foreign = draw.choice((("Origin", "http://shop.example"), ("Origin", "null"),
                           ("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Site", "same-site"),
                           ("Origin", "http://127.0.0.1.shop.example"), None))
    host = draw.choice(("127.0.0.1", "127.0.0.1", "shop.example", "127.0.0.1@shop.example", ""))
    fields = [cookie] + ([foreign] if foreign else [])
    if draw.random() < 0.3:  # as a form or a beacon would
        raw = request("POST", "/api/lot/stop", fields + [("Content-Type", "text/plain"),
                                                       ("Content-Length", "2")], host=host) + b"{}"
    else:
        raw = request("POST", draw.choice([call[1] for call in CALLS if call[0] == "POST"]), fields,
                      body, host)
    return Attack("cross-site", [raw], frozenset((400, 403, 415)))


def beyond_role(draw, people):
    """Somebody with a login who may not do this."""
    pick = draw.random()
    if pick < 0.4:
        raw = request("POST", draw.choice(("/api/lot/stop", "/api/nest/1/abort", "/api/accounts")),
                      people["reader"].fields(), b'{"lot":"x"}')
    elif pick < 0.6:
        raw = request("POST", draw.choice(("/api/quality/alarm", "/api/quality/freeze")),
                      people["worker"].fields(), b'{"alarm":1,"check":"gain","why":"x"}')
    else:
        raw = request(draw.choice(("GET", "POST")), "/api/accounts", people["worker"].fields(),
                      b'{"name":"thief","role":"administrator","password":"long enough"}')
    return Attack("beyond role", [raw], frozenset((403, 429)))


def stored_script(draw, people):
    """Somebody who may write, and writes script. While a lot runs nothing of it is taken."""
    text = draw.choice(SCRIPTS)
    calls = (("/api/lot/start", {"lot": text, "operator": text, "units": 1}),
             ("/api/lot/start", {"lot": "x", "draft": False, "plan": text}),
             ("/api/nest/1/load", {"label": text}), ("/api/nest/1/answer", {"answer": text}),
             ("/api/nest/2/put-aside", {"operator": text}), ("/api/fault/clear", {"operator": text}),
             ("/api/lot/start", {text: text}))
    path, body = draw.choice(calls)
    return Attack("stored script", [request("POST", path, people["worker"].fields(),
                                            json.dumps(body).encode())], frozenset((400, 403, 409, 429)))


def guessed_login(draw, _):
    name = draw.choice(("boss", "worker", "reader", "' OR 1=1 --", "admin", draw.choice(SCRIPTS)))
    body = json.dumps({"name": name, "password": "guess%d" % draw.randrange(10**6)}).encode()
    path = draw.choice(("/api/session", "/api/session", "/api/session/first"))
    if path.endswith("first"):
        body = json.dumps({"code": "AAAA-BBBB-CCCC", "name": "thief", "password": "long enough"}).encode()
    return Attack("guessed login", [request("POST", path, body=body)], frozenset((400, 403, 409, 429)))


def half_closed(draw, _):
    whole = request("POST", "/api/session", body=b'{"name":"x","password":"y"}')
    piece = whole[:draw.randrange(1, len(whole) - 1)]
    return Attack("half-closed", [piece], silent=True, ending=draw.choice(("half", "half", "reset")))


def many_at_once(draw, _):
    one = request("GET", draw.choice(("/api/status", "/nothing", "/api/nothing")))
    return Attack("many at once", [one * draw.randint(2, 60)], frozenset((401, 404)), ending="reset")


KINDS = ((malformed, 14), (mutated, 14), (oversized, 8), (traversal, 14), (unauthorised, 16),
         (cross_site, 12), (beyond_role, 4), (stored_script, 6), (guessed_login, 3),
         (half_closed, 6), (many_at_once, 3))


def drawn(draw, people):
    kind = draw.choices([kind for kind, _ in KINDS], [weight for _, weight in KINDS])[0]
    return kind(draw, people)
