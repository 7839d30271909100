"""The room table of docs/architecture.md, held against #include lines and CMake targets."""

import re

from sources import all_files, bare, code_files, read

# Header prefix -> name in the table. The longest prefix counts.
LIBRARIES = {
    "boost/asio/": "Boost.Asio",
    "boost/beast/": "Boost.Beast",
    "boost/container/": "Boost.Container",
    "boost/json": "Boost.JSON",
    "boost/math/": "Boost.Math",
    "boost/random/": "Boost.Random",
    "boost/system/": "Boost.System",
    "eigen3/": "Eigen",
    "toml++/": "toml++",
    "sodium": "libsodium",
    "openssl/": "OpenSSL",
    "SQLiteCpp/": "SQLiteCpp",
    "sqlite3.h": "SQLite",
    "zstd.h": "zstd",
    "CLI/": "CLI11",
    "fmt/": "fmt",
    "spdlog/": "spdlog",
    "sys/": "POSIX",
    "linux/": "POSIX",
    "arpa/": "POSIX",
    "netinet/": "POSIX",
}
POSIX = {"fcntl.h", "poll.h", "pty.h", "pwd.h", "sched.h", "signal.h", "termios.h", "unistd.h"}
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"]', re.MULTILINE)


def table():
    """room -> (rooms, libraries); None stands for everything."""
    rooms = {}
    for line in read("docs/architecture.md").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        name = re.fullmatch(r"`([a-z]+/[a-z]+)`", cells[0]) if len(cells) == 4 else None
        if not name:
            continue
        everything = cells[2] == "everything"
        rooms[name.group(1)] = (
            None if everything else set(re.findall(r"`([^`]+)`", cells[2])),
            None if everything else {part.strip() for part in cells[3].split(",") if part.strip()})
    return rooms


def reachable(rooms, room):
    """The rooms whose headers a room may include, itself among them."""
    seen, waiting = set(), [room]
    while waiting:
        here = waiting.pop()
        if here in seen:
            continue
        seen.add(here)
        direct = rooms[here][0]
        waiting += list(rooms if direct is None else direct)
    return seen


def library_of(header):
    """The library of a header in angle brackets; "" for the standard library's."""
    if header in POSIX:
        return "POSIX"
    best = max((prefix for prefix in LIBRARIES if header.startswith(prefix)), key=len, default="")
    if best:
        return LIBRARIES[best]
    return "" if re.fullmatch(r"[a-z_0-9]+", header) else "unknown library"


def judge(rooms, room, kind, header):
    """What is wrong with one include of a room, or ""."""
    if kind == '"':
        parts = header.split("/")
        target = "/".join(parts[:2])
        if target not in rooms:
            return "is not relative to the repository's root, or of no room"
        if rooms[room][0] is not None and target not in reachable(rooms, room):
            return f"{room} may not include {target}"
        return ""
    library = library_of(header)
    if library and rooms[room][1] is not None and library not in rooms[room][1]:
        return f"{room} may not use {library}"
    return ""


def wrong_includes():
    rooms = table()
    problems = [] if len(rooms) >= 19 else ["docs/architecture.md: the room table is not there"]
    for name in code_files():
        room = "/".join(name.split("/")[:2])
        if room not in rooms:
            problems.append(f"{name}: {room} is no room of docs/architecture.md")
            continue
        text = read(name)
        for match in INCLUDE.finditer(text):
            wrong = judge(rooms, room, match.group(1), match.group(2))
            if wrong:
                line = text.count("\n", 0, match.start(2)) + 1
                problems.append(f"{name}:{line}: {match.group(2)}: {wrong}")
    return problems


def wrong_links():
    """CMake's USES may name fewer rooms than the table, never others."""
    rooms = table()
    text = re.sub(r"#[^\n]*", "", read("CMakeLists.txt"))
    problems, seen = [], set()
    for room, rest in re.findall(r"padtrim_room\(([a-z/]+)([^)]*)\)", text):
        seen.add(room)
        if room not in rooms:
            problems.append(f"CMakeLists.txt: {room} is no room of docs/architecture.md")
            continue
        uses = re.search(r"USES([^A-Z]*)", rest)
        allowed = reachable(rooms, room)
        for used in (uses.group(1).split() if uses else []):
            if used not in allowed:
                problems.append(f"CMakeLists.txt: {room} links {used}")
    problems += [f"CMakeLists.txt: {room} has no target" for room in sorted(set(rooms) - seen)]
    return problems


def circles():
    rooms = table()
    return [f"{room} comes back to itself through {direct}"
            for room in rooms if rooms[room][0] is not None
            for direct in rooms[room][0] if room in reachable(rooms, direct)]


def self_test():
    rooms = {"a/one": (set(), {"zstd"}), "b/two": ({"a/one"}, set()), "c/all": (None, None)}
    for room, kind, header in (("a/one", '"', "b/two/x.hpp"), ("b/two", "<", "zstd.h"),
                               ("b/two", '"', "x.hpp"), ("b/two", '"', "../one/x.hpp"),
                               ("a/one", "<", "curl/curl.h"), ("a/one", "<", "unistd.h")):
        assert judge(rooms, room, kind, header), header
    for room, kind, header in (("b/two", '"', "a/one/x.hpp"), ("a/one", "<", "zstd.h"),
                               ("b/two", "<", "vector"), ("c/all", "<", "zstd.h"),
                               ("c/all", '"', "b/two/x.hpp")):
        assert not judge(rooms, room, kind, header), header
