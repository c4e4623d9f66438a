"""What no module may do, whatever it imports: read the clock, or speak to people outside the catalogue."""

import ast
import builtins
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

READS_THE_CLOCK = re.compile(
    r"(?:^|\.)(?:datetime\.(?:now|utcnow|today)|date\.today|dt\.datetime\.now|time\.(?:time|time_ns|localtime|gmtime))$"
)
CLOCK = "bot.run.app"


def modules(root: Path) -> Iterator[tuple[str, ast.Module]]:
    """(dotted name, syntax tree) of every module of core and bot under `root`."""
    for top in ("core", "bot"):
        for path in sorted((root / top).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            yield name, ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def within(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


def clock_readers(root: Path) -> list[str]:
    """Uses of the wall clock outside the module that hands it out; monotonic clocks only measure."""
    found = []
    for module, tree in modules(root):
        if module == CLOCK:
            continue
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and READS_THE_CLOCK.search(ast.unparse(node)):
                found.append(f"{module}:{node.lineno} reads the clock: {ast.unparse(node)}")
            if isinstance(node, ast.ImportFrom) and node.module == "time":
                bad = {"time", "time_ns", "localtime", "gmtime"} & {alias.name for alias in node.names}
                found += [f"{module}:{node.lineno} reads the clock: time.{name}" for name in sorted(bad)]
    return found


# Modules whose literals are not said to patients, each with the reason.
SPEAKS_TO_NO_PATIENT = {
    "bot.wording.filling": "words what is wrong with the words of a programme",
    "bot.run.metrics": "names figures for those who watch the service",
    "bot.settings": "words the errors of settings",
    "core.answers": "holds what people type, not what we say",
    "core.export.fhir": "quotes the official display of a code",
    "core.programme.checks": "words the errors of programme files",
    "core.programme.reading_level": "lists words and how many syllables they have",
    "core.programme.file": "words the errors of programme files",
    "core.programme.words": "words the errors of programme files",
    "core.scores": "cites sources in their own words",
    "core.store": "holds SQL and the words of database errors",
}
WORDS = re.compile(r"[A-Za-z']{2,}")
LEAST_WORDS = 4
LOGGING = {"debug", "info", "warning", "error", "exception", "critical", "log"}


def sentences(root: Path) -> list[str]:
    """Literals of four words or more that a person might read; they belong in the catalogue.

    Left out: docstrings, errors, log lines, names of keys (dots or underscores instead of spaces),
    descriptions of fields, and the modules of SPEAKS_TO_NO_PATIENT.
    """
    found = []
    trees = dict(modules(root))
    excused = LOGGING | _error_names(trees.values()) | {"compile", "__init__"}  # a regular expression is not said
    for module, tree in trees.items():
        if any(within(module, name) for name in SPEAKS_TO_NO_PATIENT):
            continue
        for node in _spoken(tree, excused):
            text = node.value if isinstance(node, ast.Constant) else _template(node)
            if isinstance(text, str) and " " in text.strip() and len(WORDS.findall(text)) >= LEAST_WORDS:
                found.append(f"{module}:{node.lineno} speaks: {text[:60]!r}")
    return found


def _error_names(trees: Iterable[ast.Module]) -> set[str]:
    """Python's own errors and every class that descends from one: what is said to them is for the log."""
    classes = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]
    names = {name for name, value in vars(builtins).items() if isinstance(value, type) and issubclass(value, Exception)}
    before = 0
    while before != len(names):
        before = len(names)
        names |= {
            node.name
            for node in classes
            if any((base := ast.unparse(b).split(".")[-1]) in names or base.endswith("Error") for b in node.bases)
        }
    return names


def _template(node: ast.JoinedStr) -> str:
    return "".join(str(part.value) if isinstance(part, ast.Constant) else " " for part in node.values)


def _spoken(node: ast.AST, excused: set[str]) -> Iterator[ast.Constant | ast.JoinedStr]:
    """String literals below `node` that nothing about their place excuses."""
    if isinstance(node, ast.Raise | ast.Assert):
        return
    if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in excused:
        return
    if isinstance(node, ast.keyword) and node.arg in ("description", "help", "extra"):
        return
    if isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str)):
        yield node
        return
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue  # a docstring, of a value too
        yield from _spoken(child, excused)
