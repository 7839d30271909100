"""Tests and programs that nobody builds."""

import re

from sources import all_files, read


def unbuilt_tests():
    """A *_test.cpp whose folder no padtrim_test() names; its glob takes one folder, not below."""
    text = re.sub(r"#[^\n]*", "", read("tests/CMakeLists.txt"))
    built = {"tests/" + folder for folder in re.findall(r"padtrim_test\(([a-z_/]+)", text)}
    return [f"{name}: no padtrim_test() of tests/CMakeLists.txt takes its folder"
            for name in all_files()
            if name.startswith("tests/") and name.endswith("_test.cpp")
            and name.rsplit("/", 1)[0] not in built]


def unbuilt_programs():
    """A .cc whose folder's CMakeLists.txt neither names it nor globs it."""
    problems = []
    names = all_files()
    for name in names:
        if not (name.startswith("tests/") and name.endswith(".cc")):
            continue
        folder, file = name.rsplit("/", 1)
        listing = folder + "/CMakeLists.txt"
        text = read(listing) if listing in names else ""
        if file not in text and "*.cc" not in text:
            problems.append(f"{name}: {listing} does not build it")
        elif f"{folder.split('/')[1]}" not in read("tests/CMakeLists.txt"):
            problems.append(f"{name}: tests/CMakeLists.txt does not add its folder")
    return problems
