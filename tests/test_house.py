"""The plan of the house: which room may import which, light imports, docstrings that hold."""

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
GEOMETRY = {
    "arm", "schemes", "records", "distortion", "alignment", "errors", "paper", "objective", "play",
    "norms", "equal_peaks", "optimum", "exact", "comparison",
    "bounds", "closest", "consistency", "correction", "estimate", "extrema", "headshell", "log",
    "pivot_height", "reconcile", "setup_model", "straight", "tolerance", "vernier",
    "readings", "printers", "diagnosis", "verification",
}  # fmt: skip
FORMATS = {"reportlab", "click", "shapely", "pikepdf", "fontTools", "matplotlib"}


def modules() -> list[str]:
    """Every module of the package."""
    return [
        info.name
        for info in pkgutil.walk_packages([str(ROOT)], "protractor.")
        if not info.name.endswith("__main__")
    ]


def imports_of(name: str, everywhere: bool = True) -> set[str]:
    """What a module imports, as dotted names; only at its top level when not `everywhere`."""
    path = ROOT.joinpath(*name.split(".")[1:])
    source = path.with_suffix(".py") if path.with_suffix(".py").exists() else path / "__init__.py"
    tree = ast.parse(source.read_text())
    found: set[str] = set()
    for node in ast.walk(tree) if everywhere else tree.body:
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
    return found


def room(name: str) -> str:
    """The room of a module: its first name inside the package."""
    return name.split(".")[1] if "." in name else ""


@pytest.mark.parametrize("name", modules())
def test_arrows_run_one_way(name: str) -> None:
    """cli -> sheets -> drawing, cli -> output -> drawing, geometry only downward."""
    inside = {room(i) for i in imports_of(name) if i.startswith("protractor.")}
    outside = {i.split(".")[0] for i in imports_of(name)}
    here = room(name)
    if here in GEOMETRY:
        assert not inside & {"drawing", "sheets", "output", "curves", "cli", "inputs", "demo"}
        assert not outside & FORMATS
    elif here == "drawing":
        assert not inside & {"sheets", "output", "cli", "arm", "alignment", "schemes", "inputs"}
    elif here == "output":
        assert not inside & {"sheets", "cli", "arm", "alignment", "schemes", "inputs"}
    elif here == "sheets":
        assert not inside & {"output", "cli", "inputs"}
        assert not outside & FORMATS
    elif here == "curves":
        assert not inside & {"output", "sheets", "cli", "inputs"}
        assert not outside & (FORMATS - {"matplotlib"})
    if here != "cli":
        assert "click" not in outside
        assert "cli" not in inside or name == "protractor.__main__"


def loaded_by(statement: str) -> set[str]:
    """Top-level modules that are loaded after a statement, in a fresh process."""
    listing = "print(json.dumps(sorted({m.split('.')[0] for m in sys.modules})))"
    code = f"{statement}\nimport json, sys\n{listing}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout.splitlines()[-1]))


HEAVY = {"numpy", "reportlab", "shapely", "scipy", "matplotlib", "ezdxf"}


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
        assert getattr(protractor, name) is not None
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        _ = protractor.nothing


def public_functions() -> list[tuple[str, object]]:
    """Public functions and classes of the package's own modules, outside the command line."""
    found = []
    for name in modules():
        if room(name) == "cli":
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
