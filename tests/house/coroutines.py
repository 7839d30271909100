"""What g++ 12.2 miscompiles in coroutines: temporary aggregates in the arguments of an awaited
call, co_await inside ?: and inside braced initializers."""

import re

from sources import bare, code_files, line_of, read

BODY_WORDS = {"else", "do", "try", "const", "noexcept", "mutable", "override", "final"}
CLOSERS = {"(": ")", "[": "]", "{": "}"}


def closing(text, opening):
    depth = 0
    for i in range(opening, len(text)):
        if text[i] in CLOSERS:
            depth += 1
        elif text[i] in ")]}":
            depth -= 1
            if depth == 0:
                return i
    return len(text) - 1


def opens_body(text, brace):
    """Whether the brace begins statements (and not a braced initializer)."""
    before = text[:brace].rstrip()
    if not before or before[-1] in ");{}:":
        return True
    word = re.search(r"[A-Za-z_]\w*$", before)
    if word and word.group(0) in BODY_WORDS:
        return True
    # A function or lambda with its result behind an arrow; a type or namespace.
    statement = re.split(r"[;{}]", before)[-1]
    return "->" in statement or bool(
        re.match(r"\s*(template\b.*)?(struct|class|namespace|enum|union)\b", statement, re.DOTALL))


def enclosing_brace(text, position):
    """The innermost unclosed bracket before the position, if it is a brace."""
    depth = 0
    for i in range(position - 1, -1, -1):
        if text[i] in ")]}":
            depth += 1
        elif text[i] in CLOSERS:
            if depth == 0:
                return i if text[i] == "{" else enclosing_brace(text, i)
            depth -= 1
    return None


def statement_around(text, position):
    """The full expression around the position: to the next ; or body brace on both sides."""
    start = position
    depth = 0
    while start > 0:
        letter = text[start - 1]
        if letter in ")]}":
            if letter == "}" and depth == 0:
                break
            depth += 1
        elif letter in CLOSERS:
            if depth == 0 and letter == "{":
                break
            depth = max(0, depth - 1)
        elif letter == ";" and depth == 0:
            break
        start -= 1
    end = position
    depth = 0
    while end < len(text):
        letter = text[end]
        if letter in CLOSERS:
            if letter == "{" and depth <= 0 and opens_body(text, end):
                break
            depth += 1
        elif letter in ")]}":
            depth -= 1
        elif letter == ";" and depth <= 0:
            break
        end += 1
    return start, end


def temporary_aggregate(arguments):
    """A brace in the arguments that is no lambda's body and no empty or string-like value."""
    for match in re.finditer(r"\{", arguments):
        if not opens_body(arguments, match.start()):
            return True
        before = arguments[:match.start()].rstrip()
        if not before or before[-1] in "(,":
            return True
    return bool(re.search(r"[(,]\s*\{", arguments))


def without_groups_beside(statement, here):
    """The statement with every bracket group blanked that does not hold the place: what stands in
    the arguments of the awaited call is none of the call's own expression."""
    out, i = list(statement), 0
    while i < len(statement):
        if statement[i] in CLOSERS:
            end = closing(statement, i)
            if not i < here < end:
                out[i + 1:end] = " " * (end - i - 1)
                i = end
        i += 1
    return "".join(out)


def flaws(text):
    """(position, what) of each flaw in bare text."""
    for match in re.finditer(r"\bco_await\b", text):
        start, end = statement_around(text, match.start())
        call = re.compile(r"\(").search(text, match.end(), end)
        if call:
            arguments = text[call.start():closing(text, call.start()) + 1]
            if temporary_aggregate(arguments):
                yield match.start(), "temporary aggregate handed to a coroutine"
        brace = enclosing_brace(text, match.start())
        if brace is not None and not opens_body(text, brace):
            yield match.start(), "co_await inside a braced initializer"
        here = match.start() - start
        statement = without_groups_beside(text[start:end], here)
        question = statement.find("?")
        if question >= 0 and re.search(r"(?<!:):(?!:)", statement[question:]):
            yield match.start(), "co_await inside ?:"


def places(names):
    found = []
    for name in names:
        text = bare(read(name))
        if "co_await" in text:
            found += [f"{name}:{line_of(text, at)}: {what}" for at, what in flaws(text)]
    return found


def all_flaws():
    return places(code_files(("recipes", "fixtures", "db", "station", "tests")))


BAD = (
    "Task<void> f() { co_await take({.c = 1}); }",
    "Task<void> f() { co_await take(Options{1, 2}); }",
    "Task<void> f() { const auto r = co_await bus.send(Frame{.a = 1}, x); }",
    "Task<int> f() { co_return good ? co_await a() : 0; }",
    "Task<int> f() { const int x = co_await a() ? 1 : 2; }",
    "Task<int> f() { const int x = g(good ? co_await a(1) : 0); }",
    "Task<int> f() { co_return good ? 0 : (co_await a()) + 1; }",
    "Task<void> f() { const Pair p{co_await a(), 1}; }",
    "Task<void> f() { g(Pair{1, co_await a()}); }",
    "Task<void> f() { std::vector<int> v = {co_await a()}; }",
)
GOOD = (
    "Task<void> f() { auto x = co_await a(on ? b : c); }",
    "Task<void> f() { auto x = co_await a(b).c(on ? 1 : 2); if (!x) co_return; }",
    "Task<void> f() { Options o{1, 2}; co_await take(std::move(o)); }",
    "Task<void> f() { if (x) { co_await a(); } else { co_await b(); } }",
    "auto f = [&]() -> Task<void> { co_await a(); };",
    "Task<void> f() { co_await with([&](int i) { return i; }); }",
    "Task<int> f() { const int x = co_await a(); co_return x > 0 ? 1 : 2; }",
    "Task<void> f() { for (const auto& n : nests) co_await a(n); }",
    "Task<void> f() { switch (x) { case 1: { co_await a(); } } }",
    "Task<void> f() { const bool b = x ? y : z; co_await a(std::chrono::seconds(1)); }",
)


def self_test():
    for sample in BAD:
        assert list(flaws(sample)), sample
    for sample in GOOD:
        assert not list(flaws(sample)), (sample, list(flaws(sample)))
