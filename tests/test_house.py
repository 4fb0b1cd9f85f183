"""The plan of the house: rooms, floors, light imports, docstrings that hold."""

from __future__ import annotations

import ast
import importlib
import inspect
import json
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import protractor

ROOT = Path(protractor.__file__).parent

FLOORS: tuple[frozenset[str], ...] = (
    frozenset({"errors"}),
    frozenset({"files", "inputs"}),
    frozenset({"arms", "drawing"}),
    frozenset({"printing", "output"}),
    frozenset({"alignments"}),
    frozenset({"setup", "sheets", "curves", "chain"}),
    frozenset({"bench"}),
    frozenset({"app"}),
    frozenset({"cli"}),
)
"""The rooms from the ground up. A room may import from its own and from the floors below."""

LIBRARIES = {
    "click": {"cli"},
    "flask": {"app"},
    "waitress": {"app"},
    "segno": {"app"},
    "reportlab": {"drawing", "output"},
    "ezdxf": {"output"},
    "matplotlib": {"curves"},
    "shapely": {"drawing"},
    "fontTools": {"drawing"},
    "filelock": {"files"},
}
"""Libraries that belong to one room, or to a few."""

DOORS = {"", "__main__"}
"""The package itself and `python -m protractor`: they open the rooms and belong to none."""


def modules(root: Path) -> dict[str, str]:
    """Every module of a package by its dotted path below the root, with its source."""
    found = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        found[".".join(parts).removesuffix("__init__").rstrip(".")] = path.read_text("utf-8")
    return found


def imports_of(source: str) -> set[str]:
    """What a module imports anywhere, inside functions too, as dotted names."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            found.add(node.module or "")
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
    return found


def room(name: str) -> str:
    """The room of a module: the first name below the package."""
    return name.split(".", maxsplit=1)[0]


def arrows(root: Path) -> set[tuple[str, str]]:
    """Which room imports from which other one: pairs of importer and imported."""
    known = modules(root)
    rooms = {room(name) for name in known}
    found = set()
    for name, source in known.items():
        for target in imports_of(source):
            first = target.removeprefix("protractor.").split(".")[0]
            if target.startswith("protractor.") and first in rooms:
                found.add((room(name), first))
    return {(a, b) for a, b in found if a != b and a not in DOORS}


def wrong(root: Path) -> list[str]:
    """What stands nowhere in the plan, and every arrow that does not run down."""
    floor = {name: height for height, rooms in enumerate(FLOORS) for name in rooms}
    nowhere = {room(name) for name in modules(root)} - set(floor) - DOORS
    return [f"{name} stands on no floor" for name in sorted(nowhere)] + [
        f"{a} -> {b}"
        for a, b in sorted(arrows(root))
        if a in floor and b in floor and not floor[b] < floor[a]
    ]


def circles(root: Path) -> list[str]:
    """Modules that import each other, directly or round about."""
    known = modules(root)
    goes: dict[str, set[str]] = {}
    for name, source in known.items():
        names = {t.removeprefix("protractor.") for t in imports_of(source) if "protractor." in t}
        goes[name] = {target for target in names if target in known and target != name}
    while True:
        ends = [name for name, targets in goes.items() if not targets]
        if not ends:
            return sorted(goes)
        for name in ends:
            del goes[name]
        for targets in goes.values():
            targets.difference_update(ends)


def test_arrows_run_down() -> None:
    """Every module stands in a room of the plan, and imports from its own floor's below alone."""
    assert wrong(ROOT) == []


def test_no_circles() -> None:
    """No two modules need each other, inside one room either."""
    assert circles(ROOT) == []


@pytest.mark.parametrize(
    ("place", "line", "complaint"),
    [
        ("arms/arm.py", "from protractor.sheets import plate", ["arms -> sheets"]),
        ("setup/x.py", "def f():\n    from protractor.cli import main", ["setup -> cli"]),
        ("setup/x.py", "import protractor.sheets.plate", ["setup -> sheets"]),
        ("stray.py", "", ["stray stands on no floor"]),
        ("bench/x.py", "from protractor.sheets import plate", []),
    ],
)
def test_wrong_import_is_found(tmp_path: Path, place: str, line: str, complaint: list[str]) -> None:
    """A planted wrong arrow, a hidden one too, and a module without a room are named."""
    for name in ("arms/arm", "setup/x", "sheets/plate", "cli/__init__", "bench/x"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / f"{name}.py").touch()
    (tmp_path / place).write_text(line)
    assert wrong(tmp_path) == complaint


def test_circle_is_found(tmp_path: Path) -> None:
    """Two modules of one room that import each other inside functions are a circle."""
    (tmp_path / "arms").mkdir()
    (tmp_path / "arms" / "a.py").write_text("def f():\n    from protractor.arms import b")
    (tmp_path / "arms" / "b.py").write_text("import protractor.arms.a")
    assert circles(tmp_path) == ["arms.a", "arms.b"]


@pytest.mark.parametrize("library", LIBRARIES)
def test_library_has_its_room(library: str) -> None:
    """A format's library is known to the rooms that speak that format alone."""
    users = {
        room(name)
        for name, source in modules(ROOT).items()
        if library in {target.split(".")[0] for target in imports_of(source)}
    }
    assert users <= LIBRARIES[library]


def every_module() -> list[str]:
    """Every module of the package by its importable name."""
    return [
        info.name
        for info in pkgutil.walk_packages([str(ROOT)], "protractor.")
        if not info.name.endswith("__main__")
    ]


def loaded_by(statement: str) -> set[str]:
    """Top-level modules that are loaded after a statement, in a fresh process."""
    listing = "print(json.dumps(sorted({m.split('.')[0] for m in sys.modules})))"
    code = f"{statement}\nimport json, sys\n{listing}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout.splitlines()[-1]))


HEAVY = {"numpy", "reportlab", "shapely", "scipy", "matplotlib", "ezdxf", "flask", "waitress"}


def test_import_is_light() -> None:
    """`import protractor` loads no heavy library; neither does the help."""
    assert not loaded_by("import protractor") & (HEAVY | {"click"})
    assert not loaded_by("from protractor.cli import main; main(['--help'])") & HEAVY


def test_solve_loads_no_drawing() -> None:
    """`protractor solve` needs numpy and click alone."""
    loaded = loaded_by(
        "from protractor.cli import main; main(['solve', '--pivot-to-spindle', '222'])"
    )
    assert loaded & HEAVY == {"numpy"}


def test_public_names() -> None:
    """Every name of the public API is there, and nothing else is promised."""
    for name in protractor.__all__:
        thing = getattr(protractor, name)
        assert thing is not None
        assert not inspect.ismodule(thing), f"a room takes the place of {name}"
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        _ = protractor.nothing


def test_public_names_are_typed() -> None:
    """What loads a name at run time is what a type checker reads, name by name."""
    tree = ast.parse((ROOT / "__init__.py").read_text("utf-8"))
    [checked] = [node for node in tree.body if isinstance(node, ast.If)]
    typed = {
        alias.name: str(node.module).removeprefix("protractor.")
        for node in checked.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert typed == protractor._ROOMS
    assert list(protractor._ROOMS) == protractor.__all__
    assert set(protractor.__all__) < set(dir(protractor))
    assert (ROOT / "py.typed").exists()


def public_functions() -> list[tuple[str, object]]:
    """Public functions and classes of the package's own modules, outside the command line."""
    found = []
    for name in every_module():
        if name.startswith("protractor.cli"):
            continue
        module = importlib.import_module(name)
        for key, thing in vars(module).items():
            own = getattr(thing, "__module__", None) == name
            if (
                own
                and not key.startswith("_")
                and (inspect.isfunction(thing) or inspect.isclass(thing))
            ):
                found.append((f"{name}.{key}", thing))
    return found


@pytest.mark.parametrize(
    ("name", "thing"), public_functions(), ids=lambda v: v if isinstance(v, str) else ""
)
def test_docstrings(name: str, thing: object) -> None:
    """Each public thing says what it is; an `Args:` section names the arguments there are."""
    text = inspect.getdoc(thing) or ""
    assert text, f"{name} has no docstring"
    if "Args:" in text:
        section = text.split("Args:")[1].split("\n\n")[0]
        told = [
            line.strip().split(":")[0]
            for line in section.splitlines()
            if line.startswith("    ") and not line.startswith("     ")
        ]
        assert told == [p for p in inspect.signature(thing).parameters if p != "self"], name
