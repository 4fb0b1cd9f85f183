"""`protractor fit`: answers at 80 columns, stable JSON, files read strictly, slips in one line."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from protractor.chain.cartridge import Cartridge
from protractor.chain.question import CAUTIONS
from protractor.chain.sheet_file import LARGEST_BYTES
from protractor.chain.stage import Stage
from protractor.chain.tonearm import Tonearm
from protractor.inputs.declaration import inputs_of
from tests.conftest import Ran

Run = Callable[..., Ran]

MAGNET = (
    *("--cartridge-kind", "moving-magnet", "--cartridge-output", "5", "--cartridge-velocity", "5"),
    *("--cartridge-resistance", "800", "--cartridge-inductance", "500"),
    *("--cartridge-load", "47k", "47k", "--cartridge-load-capacitance", "150", "250"),
)
ARM = (
    *("--effective-length", "239.3", "--pivot-to-spindle", "222", "--arm-force", "1.8"),
    *("--arm-wire", "30", "--arm-cable", "250"),
)
STAGE = ("--stage-gain", "40", "--stage-load", "47kohm", "--stage-capacitance", "220")

FILE = """
[cartridge]
kind = "moving-magnet"
output = "5 mV"
velocity = 5
resistance = "800 ohm"
inductance = "0.5 H"
load = 47000
load-capacitance = [150, "0.25 nF"]

[arm]
effective-length = "239.3 mm"
pivot-to-spindle = 222
force = 1.8
wire = 30
cable = 250

[stage]
gain = 40
load = "47 kohm"
capacitance = 220
"""
"""The same data sheets as the options above."""

TWO_GAINS = """
[cartridge]
kind = "moving-coil"
output = 0.3
velocity = 5
velocity-is = "peak"
resistance = 12

[[stage]]
name = "low gain"
gain = 40
noise = 3
load = 47000

[[stage]]
name = "high gain"
gain = 62
noise = 0.8
load = 470
"""

ANSWER_KEYS = [
    *("subject", "name", "value", "unit", "verdict"),
    *("change", "reason", "source", "at", "wanted"),
]


def answers_of(ran: Ran) -> dict[str, dict[str, object]]:
    """The answers of a JSON output by name."""
    assert ran.status == 0, ran.err
    return {one["name"]: one for one in json.loads(ran.out)["answers"]}


@pytest.fixture
def sheets(run: Run) -> Callable[..., Ran]:
    """Runs `fit` on a file of the given content."""

    def ran(text: str | bytes, *words: str) -> Ran:
        data = text if isinstance(text, bytes) else text.encode()
        Path("sheets.toml").write_bytes(data)
        return run("fit", "--file", "sheets.toml", *words)

    return ran


def test_table(run: Run) -> None:
    """At 80 columns: figure, interval, verdict, what to change, why; what lacks; the cautions."""
    ran = run("fit", *MAGNET, *ARM, *STAGE)
    assert (ran.status, ran.err, ran.files) == (0, "", [])
    lines = ran.out.splitlines()
    assert max(map(len, lines)) <= 80
    row = next(line for line in lines if line.startswith("  capacitance "))
    assert row.split() == [
        *("capacitance", "500", "450", "to", "550", "pF", "fits", "with", "a", "change")
    ]
    assert any(line.startswith("    -> Lose 250 pF or more") for line in lines)
    assert "  overload: give --stage-input-limit" in lines
    text = " ".join(ran.out.split())
    assert all(caution in text for caution in CAUTIONS)


def test_json(run: Run) -> None:
    """Stable keys, full precision, and what was given as it was read."""
    ran = run("fit", *MAGNET, *ARM, *STAGE, "--json")
    data = json.loads(ran.out)
    assert list(data) == ["cartridge", "arm", "stages", "record", "answers", "cautions"]
    assert all(list(one) == ANSWER_KEYS for one in data["answers"])
    assert data["cartridge"]["load_ohm"] == [47_000.0, 47_000.0]
    assert data["stages"] == [{"gain_db": 40.0, "load_ohm": 47_000.0, "capacitance_pf": 220.0}]
    gain = answers_of(ran)["gain"]["value"]
    assert isinstance(gain, dict)
    assert list(gain) == ["nominal", "low", "high"]
    assert gain["nominal"] == pytest.approx(40 - 20 * math.log10(316 / 5), rel=1e-12)
    assert answers_of(ran)["overload"]["wanted"] == ["stage-input-limit"]


def test_file_and_options_say_the_same(run: Run, sheets: Callable[..., Ran]) -> None:
    """The fields of a file are the options: same names, same units, the same answers."""
    assert sheets(FILE, "--json").out == run("fit", *MAGNET, *ARM, *STAGE, "--json").out


def test_every_option_is_a_field(sheets: Callable[..., Ran]) -> None:
    """Every input of the three sheets is a field of its table, and none is known in another."""
    for table, sheet in (("cartridge", Cartridge), ("arm", Tonearm), ("stage", Stage)):
        kind: type = sheet
        for asked in inputs_of(kind).values():
            field = asked.name.removeprefix(f"{table}-")
            ran = sheets(f"[{table}]\n{field} = [[1]]\n")
            assert ran.status == 2
            assert f"line 2, {field} in [{table}]" in ran.err, ran.err


def test_underscores_are_hyphens(sheets: Callable[..., Ran]) -> None:
    """A field may be written as files of decks have it, with underscores or capitals."""
    plain = sheets("[stage]\ninput-limit = 50\n", "--json").out
    assert sheets("[stage]\nInput_Limit = 50\n", "--json").out == plain


def test_options_override_the_file(sheets: Callable[..., Ran]) -> None:
    """What is typed counts for more than what is written, and the rest of the file stays."""
    ran = sheets(FILE, "--arm-cable", "40", "--cartridge-velocity-of", "channel", "--json")
    data = json.loads(ran.out)
    assert data["arm"]["cable_pf"] == 40.0
    assert data["arm"]["wire_pf"] == 30.0
    assert data["cartridge"]["velocity_of"] == "channel"
    back = FILE.replace("velocity = 5", 'velocity = 5\nvelocity-of = "channel"')
    again = json.loads(sheets(back, "--cartridge-velocity-of", "lateral", "--json").out)
    assert again["cartridge"]["velocity_of"] == "lateral"


def test_two_gains(sheets: Callable[..., Ran]) -> None:
    """Each input is answered under its name, and the better one is named."""
    ran = sheets(TWO_GAINS)
    assert ran.status == 0
    assert "Level, low gain" in ran.out
    assert "Load, high gain" in ran.out
    assert '-> Use the input "high gain".' in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80
    refused = sheets(TWO_GAINS, "--stage-gain", "50")
    assert refused.status == 2
    assert "--stage-gain: got an option beside 2 stages" in refused.err


def test_a_side_of_its_own(run: Run) -> None:
    """The lever of the skating force is that over the record's own radii: by hand at its edges."""
    words = ("fit", "--effective-length", "239.3", "--pivot-to-spindle", "222", "--arm-force", "2")
    radii = ("--inner-radius", "100", "--outer-radius", "140")
    text = " ".join(run(*words, *radii).out.split())
    by_hand = [(r * r + 239.3**2 - 222**2) / (2 * r) for r in (100, 140)]
    assert f"from {by_hand[0]:.1f} to {by_hand[1]:.1f} mm" in text


SLIPS = {
    "henries": (
        (*MAGNET, "--cartridge-inductance", "0.5"),
        "--cartridge-inductance: got 0.5 mH; .*if the sheet says 0.5 H, give 500",
    ),
    "47 for 47 k": (
        (*MAGNET, "--stage-load", "47"),
        "--stage-load: got 47 ohm; .*if the sheet says 47 kohm, give 47000",
    ),
    "47 for 47 k on the sheet": (
        ("--cartridge-kind", "moving-magnet", "--cartridge-load", "47", "47"),
        "--cartridge-load: got 47 ohm; .*if the sheet says 47 kohm, give 47000",
    ),
    "nanofarads": (("--stage-capacitance", "0.2"), "--stage-capacitance: .*0.2nF if you mean nF"),
    "millinewtons": (("--arm-force", "17.5"), "--arm-force: got '17.5'; .*17.5mN if you mean mN"),
    "cm/dyne": (
        ("--cartridge-compliance", "15e-6"),
        "--cartridge-compliance: got '15e-6'; .*if you mean cm/dyne",
    ),
    "a foreign unit": (("--stage-load", "47 pF"), "--stage-load: .*units: ohm.*correct the unit"),
    "a pair the wrong way round": (
        ("--cartridge-force", "2", "1.5"),
        "--cartridge-force: got 2 and 1.5 g; .*swap the two",
    ),
    "no figure at all": ((), "--file: got no figure; .*such as --cartridge-output"),
    "a missing value": (("--cartridge-load", "47k"), "--cartridge-load"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_one_line(run: Run, slip: str) -> None:
    """What sheets and hands do wrong is reported in a line, and nothing is printed or written."""
    words, line = SLIPS[slip]
    ran = run("fit", *words)
    assert (ran.status, ran.out, ran.files) == (2, "", [])
    assert ran.err.count("\n") == 1
    assert re.search(line, ran.err), ran.err


ASKED = {
    "impedance at 1 kHz for a DC resistance": (
        *("coil-resistance", "looks like the impedance at 1 kHz"),
        ("--cartridge-resistance", "3242", "--cartridge-inductance", "500"),
    ),
    "output without its velocity": (
        *("gain", "cartridge-velocity"),
        ("--cartridge-output", "5"),
    ),
    "effective mass without the headshell": (
        *("resonance", "arm-headshell"),
        ("--arm-effective-mass", "12", "--cartridge-mass", "6", "--cartridge-compliance", "12"),
    ),
    "compliance in either unit": (
        *("resonance", "the same number as 10^-6 cm/dyne"),
        (
            *("--arm-effective-mass", "12", "--arm-effective-mass-is", "with-headshell"),
            *("--cartridge-mass", "6", "--cartridge-compliance", "12"),
        ),
    ),
}


@pytest.mark.parametrize("doubt", ASKED)
def test_a_doubt_is_asked_about(run: Run, doubt: str) -> None:
    """What may be another quantity is no error: the answer says what to give or to measure."""
    name, words, options = ASKED[doubt]
    answer = answers_of(run("fit", *options, "--json"))[name]
    assert answer["verdict"] == "cannot tell"
    assert words in f"{answer['change']} {answer['reason']}"


FAULTS: dict[str, tuple[str | bytes, str]] = {
    "unknown field": (
        "[arm]\n[cartridge]\noutptu = 5\n",
        r"did you mean output\? \(file sheets.toml, line 3, outptu in \[cartridge\]\)",
    ),
    "unknown table": ("\n[cartrige]\noutput = 5\n", "did you mean cartridge. .*line 2, cartrige"),
    "no table": (
        "cartridge = 5\n",
        r"got no table; .*write \[cartridge\] over.*line 1, cartridge",
    ),
    "out of range": (
        "[arm]\nwire = 30\nforce = 17.5\n",
        r"got '17.5'; .*17.5mN. if you mean mN .*line 3, force in \[arm\]",
    ),
    "another kind": ("[arm]\nforce = true\n", r"True .true or false.; .*line 2, force in \[arm\]"),
    "a date": ("[arm]\nforce = 2026-01-01\n", "2026-01-01 .date.; .*line 2, force"),
    "three of a pair": ("[cartridge]\nforce = [1, 2, 3]\n", "a list of 3; .*line 2, force"),
    "a field twice": ("[stage]\ninput_limit=5\ninput-limit=5\n", "twice; .*line 3, input-limit"),
    "the second stage": (
        "[[stage]]\nname='a'\n[[stage]]\nname='b'\n'load' = '0.2 pF'\n",
        r"units: ohm.*line 5, load in \[\[stage\]\] 2",
    ),
    "figures that contradict": (
        "[cartridge]\nimpedance = 800\nkind = 'moving-magnet'\ninductance = 500\n",
        r"got 800 ohm; allowed: over 3142 ohm.*line 2, impedance in \[cartridge\]",
    ),
    "henries": (
        "[cartridge]\nkind = 'moving-magnet'\ninductance = 0.5\n",
        r"if the sheet says 0.5 H, give 500 .*line 3, inductance in \[cartridge\]",
    ),
    "after a long string": ('[stage]\nname = """a\nb"""\ngain = 100\n', "line 4, gain in"),
    "broken": ("[arm]\noutput = = 5\n", "got line 2, column 10; .*correct it there: Invalid value"),
    "binary": (b"[arm]\n\xff\xfe", "line 2: a byte that is not UTF-8"),
    "nested": ("a = " + "[" * 5000, "nested too deep"),
    "dotted": ("a" + ".a" * 40 + " = 1", "line 1: a name with many dots"),
    "empty": ("", "got no figure"),
    "large": ("#" * (LARGEST_BYTES + 1), "a file of over 20,000 bytes"),
    "many stages": ("[[stage]]\n" * 21, "got 21 inputs; allowed: up to 20"),
    "two of one name": ("[[stage]]\ngain=40\n[[stage]]\ngain=60\n", "name them apart"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_faulty_file_is_one_line(sheets: Callable[..., Ran], fault: str) -> None:
    """A file is read strictly: the fault, what is allowed, and which file."""
    text, line = FAULTS[fault]
    ran = sheets(text)
    assert (ran.status, ran.out, ran.files) == (2, "", ["sheets.toml"])
    assert ran.err.count("\n") == 1
    assert re.search(line, ran.err), ran.err


def test_a_missing_file_is_one_line(run: Run) -> None:
    """A name that leads nowhere, or to a folder."""
    assert "got no such file" in run("fit", "--file", "no.toml").err
    assert "got a folder" in run("fit", "--file", ".").err
