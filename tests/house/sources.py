"""The tree's files, and C++ text without its comments and strings."""

import os
import re
import shutil
import subprocess

ROOT = os.path.normpath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))
SUFFIXES = (".hpp", ".cpp", ".cc")
ROOM_FOLDERS = ("recipes", "fixtures", "db", "station")


def all_files():
    """Tracked files, relative to the root; the whole tree where there is no git."""
    names = []
    if shutil.which("git"):  # a bare machine has none
        found = subprocess.run(["git", "-C", ROOT, "ls-files", "-z"], capture_output=True, text=True)
        names = [name for name in found.stdout.split("\0") if name]
    if not names:
        for folder, folders, files in os.walk(ROOT):
            folders[:] = [f for f in folders if f not in (".git", "build", "results", "__pycache__", "node_modules")]
            names += [os.path.relpath(os.path.join(folder, f), ROOT) for f in files]
    return sorted(name for name in names if os.path.isfile(os.path.join(ROOT, name)))


def read(name):
    with open(os.path.join(ROOT, name), encoding="utf-8", errors="replace") as file:
        return file.read()


def code_files(folders=ROOM_FOLDERS):
    return [name for name in all_files()
            if name.endswith(SUFFIXES) and name.split("/")[0] in folders]


TOKEN = re.compile(
    r'R"(?P<mark>[^()\\ ]{0,16})\(.*?\)(?P=mark)"'
    r'|//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|(?<![0-9A-Za-z_])\'(?:\\.|[^\'\\\n])+\'',
    re.DOTALL)


def bare(text):
    """Comments become blanks, strings become "" or ' '; lines keep their numbers."""
    def blank(match):
        token = match.group(0)
        lines = "\n" * token.count("\n")
        return (lines or " ") if token.startswith("/") else '""' + lines
    return TOKEN.sub(blank, text)


def line_of(text, position):
    return text.count("\n", 0, position) + 1


def search(names, pattern, allowed=(), strip=True):
    """Places "file:line: text" where the pattern occurs in code."""
    places = []
    for name in names:
        if any(name.startswith(path) for path in allowed):
            continue
        text = bare(read(name)) if strip else read(name)
        for match in re.finditer(pattern, text):
            found = match.group(0).strip().split("\n")[0]
            places.append(f"{name}:{line_of(text, match.start())}: {found}")
    return places
