"""Builds the folder and checks it with an empty environment: `python -m tests.standalone FOLDER`.

It takes a few minutes and needs `pip install '.[standalone]'`; the suite does not run it.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request
from pathlib import Path

LEFT_OUT = (
    "tkinter",
    "PyQt5",
    "PySide6",
    "IPython",
    "scipy",
    "pytest",
    "hypothesis",
    "pikepdf",
    "playwright",
    "pypdfium2",
    "pdfplumber",
    "mypy",
)
"""What libraries take along where it is installed, and the program never asks for."""


DRAWN_BY = ("pdf", "svg", "agg")
"""What the plotting library loads by name alone, format by format."""


def build(folder: Path) -> Path:
    """Builds the program's folder in a folder; returns the program."""
    import PyInstaller.__main__  # type: ignore[import-not-found, import-untyped, unused-ignore]

    with tempfile.TemporaryDirectory() as work:
        PyInstaller.__main__.run(
            [
                str(Path(__file__).with_name("entry.py")),
                "--name=protractor",
                "--onedir",
                "--noconfirm",
                "--log-level=WARN",
                f"--distpath={folder}",
                f"--workpath={work}",
                f"--specpath={work}",
                "--collect-submodules=protractor",
                "--collect-data=protractor",
                *(f"--hidden-import=matplotlib.backends.backend_{form}" for form in DRAWN_BY),
                *(f"--exclude-module={name}" for name in LEFT_OUT),
            ]
        )
    name = "protractor.exe" if sys.platform == "win32" else "protractor"
    return folder / "protractor" / name


def run(program: Path, *words: str, home: Path) -> subprocess.CompletedProcess[str]:
    """Runs the program as a double click would find it: no PATH, no Python, no settings."""
    return subprocess.run(
        [str(program), *words],
        env=environment(home),
        cwd=home,
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )


def environment(home: Path) -> dict[str, str]:
    """An environment with a home and nothing else."""
    return {"HOME": str(home), "PATH": ""}


def check(program: Path) -> list[str]:
    """What the program was seen to do, a line each; raises what a failure raises."""
    said = []
    with tempfile.TemporaryDirectory() as empty:
        home = Path(empty)
        started = time.perf_counter()
        said.append(run(program, "--version", home=home).stdout.strip())
        said.append(f"starts in {time.perf_counter() - started:.2f} s")
        run(program, "template", "--pivot-to-spindle", "222", "-o", "sheet.pdf", home=home)
        here = Path(home, "here.pdf")
        words = ["template", "--pivot-to-spindle", "222", "-o", str(here)]
        subprocess.run([sys.executable, "-m", "protractor", *words], check=True, cwd=home)
        assert Path(home, "sheet.pdf").read_bytes() == here.read_bytes()
        said.append("a sheet has the same bytes")
        for more in (
            ("gauge", "plate", "--pivot-to-spindle", "222", "-o", "plate_mm.dxf"),
            ("compare", "--pivot-to-spindle", "222", "-o", "curves.pdf"),
            ("decks", "add", "--name", "One", "--pivot-to-spindle", "222"),
            ("decks", "add", "two.toml", "--name", "Two", "--pivot-to-spindle", "230"),
            ("decks", "add", "two.toml", "--name", "Three", "--pivot-to-spindle", "240"),
            ("batch", "two.toml", "--processes", "2"),
        ):
            run(program, *more, home=home)
            said.append(f"{more[0]} {more[1]}".removesuffix(" --pivot-to-spindle") + " works")
        said += _page(program, home)
    return said


def _page(program: Path, home: Path) -> list[str]:
    """Starts the page and visits it."""
    words = [str(program), "app", "--no-browser"]
    server = subprocess.Popen(
        words, env=environment(home), cwd=home, stdout=subprocess.PIPE, text=True
    )
    assert server.stdout is not None
    try:
        address = server.stdout.readline().strip()
        visits = ["", "sheet?deck=One", "sheet.svg?deck=One", "static/protractor.css"]
        visits += ["typeface/NotoSans-Bold.ttf", "compare?pivot-to-spindle=222", "workshop"]
        visits += ["align?deck=One", "read?deck=One", "prove?deck=One", "compare.pdf?deck=One"]
        for each in visits:
            with urllib.request.urlopen(address + each, timeout=60) as found:
                assert found.status == 200, each
        return [f"{len(visits)} addresses of the page answer", _batch(address)]
    finally:
        server.terminate()
        server.wait(20)


def _batch(address: str) -> str:
    """A batch of the page, which begins processes of the program's own."""
    with urllib.request.urlopen(f"{address}workshop/batch", timeout=60) as found:
        token = re.findall(r'name="token" value="([^"]+)"', found.read().decode())[0]
    form = urllib.parse.urlencode({"token": token, "sheet": "plate", "format": "svg"}).encode()
    with urllib.request.urlopen(f"{address}workshop/batch", form, timeout=60) as found:
        assert found.status == 200
    for _ in range(120):
        time.sleep(0.5)
        with urllib.request.urlopen(f"{address}workshop/batch.json", timeout=60) as found:
            state = json.load(found)["answer"]
        if "running" not in str(state) and "packing" not in str(state):
            break
    with urllib.request.urlopen(f"{address}workshop/batch/sheets.zip", timeout=60) as found:
        return f"a batch of the page gives a ZIP of {len(found.read()) / 1e3:.0f} kB"


def main() -> None:
    """Builds, checks, and says the size."""
    words = argparse.ArgumentParser(prog="python -m tests.standalone", description=__doc__)
    words.add_argument("folder", type=Path, help="where the folder `protractor` is made")
    words.add_argument("--check-alone", action="store_true", help="check one that was built")
    asked = words.parse_args()
    name = "protractor.exe" if sys.platform == "win32" else "protractor"
    built = asked.folder.resolve() / "protractor" / name
    program = built if asked.check_alone else build(asked.folder.resolve())
    size = sum(file.stat().st_size for file in program.parent.rglob("*") if file.is_file())
    print(f"{program.parent}: {size / 1e6:.0f} MB")
    print("\n".join(check(program)))


if __name__ == "__main__":
    main()
