"""What is built is complete, and runs from where nothing may be written."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
RUN = """
import sys, protractor
from protractor.cli import main
print(protractor.__file__)
sys.exit(any(main(words.split()) for words in sys.argv[1:]))
"""
"""Where the package lies, and its commands one after the other."""


def listing(folder: Path) -> set[str]:
    """Every file below a folder, but for what Python compiled."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {p.relative_to(folder).as_posix() for p in files if "__pycache__" not in p.parts}


def build(kind: str, source: Path, folder: Path) -> Path:
    """The file that the build backend makes of a folder of sources."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(folder)]
    subprocess.run(command, cwd=source, check=True, capture_output=True)
    (built,) = folder.iterdir()
    return built


@pytest.fixture(scope="module")
def sources(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source distribution, unpacked."""
    with tarfile.open(build("sdist", ROOT, tmp_path_factory.mktemp("sdist"))) as archive:
        folder = tmp_path_factory.mktemp("sources")
        archive.extractall(folder, filter="data")
    (unpacked,) = folder.iterdir()
    return unpacked


@pytest.fixture(scope="module")
def installed(sources: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the source distribution and unpacked as an installer does."""
    folder = tmp_path_factory.mktemp("site")
    with zipfile.ZipFile(build("wheel", sources, tmp_path_factory.mktemp("wheel"))) as archive:
        archive.extractall(folder)
    return folder


def test_everything_is_in_it(sources: Path, installed: Path) -> None:
    """Modules, typeface, its licence, the mark of types: as in the sources, in both."""
    package = listing(ROOT / "protractor")
    assert {"py.typed", "typeface/OFL.txt", "typeface/NotoSans-Bold.ttf"} <= package
    assert listing(installed / "protractor") == listing(sources / "protractor") == package
    assert {"LICENSE", "README.md", "pyproject.toml", "tests/conftest.py"} <= listing(sources)


def test_licence(installed: Path) -> None:
    """The licence is stated as PEP 639 has it, and the texts are there, of what is taken in too."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (facts,) = installed.glob("*.dist-info")
    head = (facts / "METADATA").read_text(encoding="utf-8").partition("\n\n")[0].splitlines()
    assert f"License-Expression: {project['license']}" in head
    taken_in = {"protractor/app/static/htmx-licence.txt", "protractor/typeface/OFL.txt"}
    assert set(project["license-files"]) == {"LICENSE"} | taken_in
    for name in project["license-files"]:
        assert f"License-File: {name}" in head
        assert (facts / "licenses" / name).read_bytes() == (ROOT / name).read_bytes()


def test_it_runs_where_nothing_may_be_written(installed: Path, tmp_path: Path) -> None:
    """Solve, a sheet for paper and for a cutter, and the demo, all into a folder that is named."""
    here, out = tmp_path / "here", tmp_path / "out"
    here.mkdir()
    out.mkdir()
    before = listing(installed)
    if hasattr(os, "geteuid") and os.geteuid() != 0:  # permissions do not stop root
        for folder in (here, *(path for path in installed.rglob("*") if path.is_dir())):
            folder.chmod(0o555)
    environment = {**os.environ, "PYTHONPATH": str(installed), "PYTHONDONTWRITEBYTECODE": "1"}
    commands = (
        "solve --pivot-to-spindle 222",
        "template --pivot-to-spindle 222 -o ../out/sheet.pdf",
        "template --pivot-to-spindle 222 -o ../out/sheet_mm.dxf --text text",
        "demo --folder ../out",
    )
    line = [sys.executable, "-c", RUN, *commands]
    done = subprocess.run(
        line, cwd=here, env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[0] == str(installed / "protractor" / "__init__.py")
    assert listing(installed) == before
    assert not any(here.iterdir())
    for path in (ROOT / "templates_out").glob("demo-*"):
        assert (out / path.name).read_bytes() == path.read_bytes()
    for path in (here, *installed.rglob("*")):
        path.chmod(0o755)
