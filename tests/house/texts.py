"""Names, leftovers, links and lengths."""

import os
import re

from sources import ROOM_FOLDERS, all_files, bare, code_files, read, search

# Put together, so that this file does not find itself.
HERE = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
MACHINE = "|".join("/" + part + "/" for part in ("root", "home")) + "|" + re.escape(HERE) + r"\b"
LEFTOVERS = "|".join(a + b for a, b in (("TO", "DO"), ("FIX", "ME"), ("XX", "X"), ("HA", "CK")))
VAGUE = r"\b(class|struct)\s+\w*(Manager|Helper|Utils?|Misc)\b"
AIM, MOST = 250, 500


def text_files():
    return [name for name in all_files() if not name.endswith((".png", ".gz", ".bin", ".svg"))]


def unguarded_headers():
    return [f"{name}: no #pragma once" for name in code_files(ROOM_FOLDERS + ("tests",))
            if name.endswith(".hpp") and "#pragma once" not in read(name)]


def headers_without_purpose():
    return [f"{name}: does not begin with a comment" for name in code_files()
            if name.endswith(".hpp") and not read(name).startswith("//")]


def odd_file_names():
    return [name for name in code_files(ROOM_FOLDERS + ("tests",))
            if not re.fullmatch(r"[a-z][a-z0-9_]*\.(hpp|cpp|cc)", os.path.basename(name))]


def vague_names():
    return search(code_files(), VAGUE)


def machine_paths():
    return search(text_files(), r"(?<![\w.])(" + MACHINE + ")", strip=False)


def leftovers():
    return search(text_files(), r"\b(" + LEFTOVERS + r")\b", strip=False)


def dead_links():
    problems = []
    for name in all_files():
        if not name.endswith(".md"):
            continue
        for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", read(name)):
            path = os.path.normpath(os.path.join(os.path.dirname(name), target))
            if not re.match(r"[a-z]+:", target) and not os.path.exists(
                    os.path.join(os.path.dirname(__file__), "..", "..", path)):
                problems.append(f"{name}: {target}")
    return problems


def lengths(folders):
    return {name: read(name).count("\n") for name in code_files(folders)}


def far_too_long():
    return [f"{name}: {lines} lines, aim for {AIM} at most"
            for name, lines in lengths(ROOM_FOLDERS).items() if lines > MOST]


def code_lines(names):
    return sum(1 for name in names for line in bare(read(name)).splitlines() if line.strip())


def size_report(every):
    rooms = lengths(ROOM_FOLDERS)
    long = sorted(((lines, name) for name, lines in rooms.items() if lines > AIM), reverse=True)
    code, tests = code_lines(rooms), code_lines(lengths(("tests",)))
    median = sorted(rooms.values())[len(rooms) // 2] if rooms else 0
    text = (f"sizes: {len(rooms)} files, median {median} lines, {len(long)} longer than {AIM}; "
            f"{code} lines of code, {tests} of tests ({tests / max(code, 1):.2f})")
    return text + "".join(f"\n          {lines:5} {name}" for lines, name in (long if every else []))


def self_test():
    assert re.search(VAGUE, "class PortManager {") and not re.search(VAGUE, "class PortHolder {")
    assert re.search(LEFTOVERS, "// " + "TO" + "DO later")
    assert re.search(MACHINE, "/" + "home/x") and not re.search(MACHINE, "/framework/x")
    assert bare('a // b\n"c" /* d */ e') == 'a  \n""   e'
