"""Settings meant for the libraries underneath change no sheet, and stop no command."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import matplotlib
import pytest

from protractor.cli import main
from tests.conftest import Ran

PLATE = "gauge plate --pivot-to-spindle 222 --text text"
OUTPUTS = {
    "sheet.pdf": "template --pivot-to-spindle 222",
    "plate.svg": PLATE,
    "plate.dxf": PLATE,
    "curves.pdf": "compare --pivot-to-spindle 222",
    "curves.svg": "compare --pivot-to-spindle 222",
    "curves.png": "compare --pivot-to-spindle 222",
}
"""Each file with the command that writes it."""

LOOK = b"""savefig.dpi: 37
figure.dpi: 41
lines.linewidth: 9
lines.scale_dashes: False
font.size: 30
font.family: monospace
axes.facecolor: red
axes.xmargin: 0.3
axes.formatter.use_locale: True
figure.facecolor: yellow
savefig.bbox: tight
savefig.facecolor: blue
pdf.compression: 0
path.simplify: False
xtick.direction: in
"""
LATIN = "schriftgröße".encode("latin-1")
READABLE = b"ttfAsciiReadable = 0\ndefaultPageSize = 'A3'\npageCompression = 1\ninvariant = 0\n"
CUSTOM = b"[core]\nlog_unprocessed_tags = rubbish\n"


@dataclass(frozen=True, kw_only=True)
class Setting:
    """Files in the current folder, which is `~` too when `home`, and variables; what they meet.

    `{here}` in a variable stands for that folder.
    """

    outputs: tuple[str, ...]
    files: Mapping[str, bytes] = field(default_factory=dict)
    variables: Mapping[str, str] = field(default_factory=dict)
    home: bool = False


CURVES = ("curves.png",)
SETTINGS = {
    "curves: look, current folder": Setting(
        outputs=("curves.svg",), files={"matplotlibrc": LOOK}, variables={"MPLBACKEND": "nosuch"}
    ),
    "curves: look, configuration folder": Setting(
        outputs=CURVES,
        files={"matplotlib/matplotlibrc": LOOK},
        variables={"XDG_CONFIG_HOME": "{here}"},
    ),
    "curves: look, named file": Setting(
        outputs=CURVES, files={"my.rc": LOOK}, variables={"MATPLOTLIBRC": "{here}/my.rc"}
    ),
    "curves: file not in UTF-8": Setting(outputs=CURVES, files={"matplotlibrc": LATIN}),
    "curves: unknown entries": Setting(outputs=CURVES, files={"matplotlibrc": b"no: such\n"}),
    "sheet: variables": Setting(
        outputs=("sheet.pdf",),
        variables={"RL_ttfAsciiReadable": "0", "RL_xmlParser": "none", "RL_invariant": "maybe"},
    ),
    "sheet: module": Setting(outputs=("sheet.pdf",), files={"reportlab_settings.py": READABLE}),
    "sheet: broken module": Setting(outputs=("sheet.pdf",), files={"reportlab_settings.py": b"1/"}),
    "sheet: file at home": Setting(
        outputs=("sheet.pdf",), files={".reportlab_settings": READABLE}, home=True
    ),
    "cut file: rubbish in the current folder": Setting(
        outputs=("plate.dxf",), files={"ezdxf.ini": CUSTOM}
    ),
    "cut file: broken": Setting(outputs=("plate.dxf",), files={"ezdxf.ini": b"no section\n"}),
    "cut file: not in UTF-8": Setting(
        outputs=("plate.dxf",),
        files={"ezdxf/ezdxf.ini": LATIN},
        variables={"XDG_CONFIG_HOME": "{here}"},
    ),
    "cut file: at home": Setting(
        outputs=("plate.dxf",), files={".config/ezdxf/ezdxf.ini": b"[core\n"}, home=True
    ),
    "cut file: named file": Setting(
        outputs=("plate.dxf",),
        files={"my.ini": LATIN},
        variables={"EZDXF_CONFIG_FILE": "{here}/my.ini"},
    ),
    "cut file: list of fonts": Setting(
        outputs=("plate.dxf",),
        files={"ezdxf/font_manager_cache.json": LATIN},
        variables={"XDG_CACHE_HOME": "{here}"},
    ),
}


def written(folder: Path, name: str, **variables: str) -> bytes:
    """The bytes of one output, by a process of its own in a folder; nothing may go to stderr."""
    command = [sys.executable, "-m", "protractor", *OUTPUTS[name].split(), "-o", name]
    environment = {**os.environ, **variables}
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    return (folder / name).read_bytes()


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], bytes]:
    """The bytes of an output where nobody set anything, made once."""
    known: dict[str, bytes] = {}

    def made(name: str) -> bytes:
        if name not in known:
            file = tmp_path_factory.mktemp("plain") / name
            assert main([*OUTPUTS[name].split(), "-o", str(file)]) == 0
            known[name] = file.read_bytes()
        return known[name]

    return made


@pytest.mark.parametrize("name", SETTINGS)
def test_settings_of_others(tmp_path: Path, plain: Callable[[str], bytes], name: str) -> None:
    """Every output is the same as without the setting, byte for byte."""
    setting = SETTINGS[name]
    for path, data in setting.files.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(data)
    variables = {key: text.format(here=tmp_path) for key, text in setting.variables.items()}
    if setting.home:
        variables |= {"HOME": str(tmp_path), "USERPROFILE": str(tmp_path), "XDG_CONFIG_HOME": ""}
    for output in setting.outputs:
        assert written(tmp_path, output, **variables) == plain(output)


@pytest.mark.parametrize("date", ["abc", "86400", ""])
@pytest.mark.parametrize("name", OUTPUTS)
def test_date_of_others(
    run: Callable[..., Ran],
    tmp_path: Path,
    plain: Callable[[str], bytes],
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    date: str,
) -> None:
    """The date that a build of packages sets, a number or not, is in no file."""
    wanted = plain(name)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", date)
    assert run(*OUTPUTS[name].split(), "-o", name).status == 0
    assert (tmp_path / name).read_bytes() == wanted
    assert os.environ["SOURCE_DATE_EPOCH"] == date


def test_look_of_a_program_around(
    run: Callable[..., Ran], tmp_path: Path, plain: Callable[[str], bytes]
) -> None:
    """A program that set the library's look for its own figures gets the same curves."""
    wanted = plain("curves.png")
    own = {"lines.linewidth": 9.0, "savefig.dpi": 40.0, "axes.facecolor": "red"}
    with matplotlib.rc_context(own):
        assert run(*OUTPUTS["curves.png"].split(), "-o", "curves.png").status == 0
        assert {key: matplotlib.rcParams[key] for key in own} == own
    assert (tmp_path / "curves.png").read_bytes() == wanted
