"""The rules that a machine can hold: arrows point down only; sizes; every parameter of the core has a unit; what may not stand where."""

import ast
import re
from pathlib import Path

import pytest

import softseat

ROOT = Path(softseat.__file__).parent
LEVEL = {
    "errors": 0, "units": 1, "names": 1, "sheet": 1, "register": 2, "tables": 2, "media": 3, "materials": 3, "flow": 4, "seat": 4,
    "torque": 5,
    "operators": 5, "pressure": 5, "piping": 5, "enquiry": 6, "maker": 6, "demo": 6, "calculator": 7, "verification": 7, "selection": 7,
    "papers": 8, "works": 8, "job": 9, "store": 8, "desk": 9, "service": 10, "cli_text": 11, "cli_service": 11, "cli": 12,
}  # fmt: skip
WITHIN = {("verification", "calculator")}  # two files of one level that are one room
CORE = {part for part, level in LEVEL.items() if 3 <= level <= 5}
NEVER = (
    {("papers", part) for part in CORE}
    | {("desk", part) for part in CORE}
    | {(c, p) for c in CORE for p in ("enquiry", "maker", "selection")}
)
TREES = [(p.relative_to(ROOT), ast.parse(p.read_text("utf-8"))) for p in sorted(ROOT.rglob("*.py")) if p.name != "__main__.py"]
IDS = [str(path) for path, _ in TREES]
# entry points that start a heavy library only when they run
LATE = {"cli.py", "cli_service.py", "cli_text.py", "job.py", "media/properties.py", "media/lookup.py"}


def part(path):
    return path.parts[0].removesuffix(".py")


def targets(node):
    """Parts of the package that an import statement names."""
    if isinstance(node, ast.Import):
        names = [a.name for a in node.names]
    elif isinstance(node, ast.ImportFrom):
        assert not node.level, "absolute imports only"
        names = [f"{node.module}.{a.name}" for a in node.names]
    else:
        names = []
    return [n.split(".")[1] for n in names if n.startswith("softseat.") and n.split(".")[1] not in ("__version__",)]


@pytest.mark.parametrize(("path", "tree"), TREES, ids=IDS)
def test_arrows_point_down_only(path, tree):
    """No import of the same or a higher level, at the top of a file or hidden in a function."""
    if path == Path("__init__.py"):
        return
    for node in ast.walk(tree):
        for target in targets(node):
            down = target == part(path) or LEVEL[target] < LEVEL[part(path)] or (part(path), target) in WITHIN
            assert down, f"{path}:{node.lineno} {part(path)} -> {target}"
            assert (part(path), target) not in NEVER, f"{path}:{node.lineno}"


@pytest.mark.parametrize(("path", "tree"), TREES, ids=IDS)
def test_imports_stand_at_the_top(path, tree):
    late = [
        n.lineno
        for f in ast.walk(tree)
        if isinstance(f, ast.FunctionDef)
        for n in ast.walk(f)
        if isinstance(n, ast.Import | ast.ImportFrom)
    ]
    assert not late or path.as_posix() in LATE or path.parts[0] == "desk", f"{path}: {late}"


@pytest.mark.parametrize(("path", "tree"), TREES, ids=IDS)
def test_sizes(path, tree):
    assert len((ROOT / path).read_text("utf-8").splitlines()) <= 300, path
    for f in (n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)):
        own = f.end_lineno - f.lineno - len((ast.get_docstring(f) or "").splitlines())
        assert own <= 40, f"{path}:{f.lineno} {f.name}"


def _decorators(f):
    return {d.func.id for d in f.decorator_list if isinstance(d, ast.Call) and isinstance(d.func, ast.Name)} | {
        d.func.attr for d in f.decorator_list if isinstance(d, ast.Call) and isinstance(d.func, ast.Attribute)
    }


@pytest.mark.parametrize(("path", "tree"), TREES, ids=IDS)
def test_public_names_and_docstrings(path, tree):
    """A file tells in its first line what it is; a public function too."""
    assert ast.get_docstring(tree), path
    public = [n for n in tree.body if isinstance(n, ast.FunctionDef | ast.ClassDef) and n.name[0] != "_"]
    rules = sum("rule" in _decorators(n) for n in public if isinstance(n, ast.FunctionDef))
    commands = sum("command" in _decorators(n) for n in public if isinstance(n, ast.FunctionDef))
    assert len(public) - rules - commands <= 12, f"{path}: {len(public)} public names"


@pytest.mark.parametrize(
    ("path", "tree"),
    [(p, t) for p, t in TREES if part(p) in CORE],
    ids=[i for i, (p, _) in zip(IDS, TREES, strict=True) if part(p) in CORE],
)
def test_every_core_number_has_a_unit(path, tree):
    """An array needs its unit in brackets; a text argument (a standard, a model) needs its entry."""
    for f in (n for n in tree.body if isinstance(n, ast.FunctionDef) and n.name[0] != "_" and "calculation" in _decorators(n)):
        entries = re.findall(r"^([\w, ]+) : (.*)\n((?: {4}.*\n?)+)", ast.get_docstring(f) or "", re.M)
        told = {
            a.strip()
            for names, kind, text in entries
            for a in names.split(",")
            if not kind.startswith("array_like") or re.search(r"\[.+?\]", text)
        } | {a.strip() for names, kind, _ in entries for a in names.split(",") if "of str" in kind or "of bool" in kind}
        assert {a.arg for a in f.args.args} <= told, f"{path}:{f.lineno} {f.name}"


def test_a_verdict_is_made_in_one_place():
    makers = [str(p) for p, tree in TREES for n in ast.walk(tree) if isinstance(n, ast.FunctionDef) and n.name == "verdict"]
    assert makers == ["selection/verdict.py"]


@pytest.mark.parametrize("path", [p for p, _ in TREES if p.as_posix() not in ("cli.py",) and part(p) != "desk"], ids=str)
def test_the_clock_stays_outside(path):
    text = (ROOT / path).read_text("utf-8")
    assert not re.search(r"\b(datetime\.now|time\.time\(|date\.today|perf_counter)", text), path


def test_nothing_names_what_it_may_not():
    """No address of a package host, no path of a machine, in any file of the project."""
    top = ROOT.parents[1]
    bad = re.compile(r"index-ur[l]|find-link[s]|registr[y] *=|(^|[^a-z0-9_.])/(hom[e]|roo[t]|tm[p]|wor[k])/", re.M | re.I)
    for file in [*top.glob("*.*"), *top.rglob("src/**/*.py"), *top.rglob("src/**/*.csv"), *top.rglob("docs/**/*.md")]:
        if file.is_file() and file.suffix in (".py", ".md", ".toml", ".csv", ".txt"):
            assert not bad.search(file.read_text("utf-8", errors="ignore")), file
