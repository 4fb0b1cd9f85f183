"""What readings say went wrong is called by its name; what is merely a printer is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from protractor.errors import InputError
from protractor.printing.diagnosis import accept_readings, diagnose, judge_print
from protractor.printing.fit import fit
from protractor.printing.paper import PAPERS, paper
from protractor.printing.readings import INSTRUMENTS, Measured
from protractor.sheets.calibration import calibration_lengths, read_lines
from tests.simulated_printer import SimulatedPrinter, draw_printer, read

CALIPERS, RULE, RULER = (INSTRUMENTS[n] for n in ("calipers", "steel-rule", "ruler"))
ENDS = {"x": 160.0, "y": 240.0, "rising": 265.0, "falling": 265.0}
NEAR = dict.fromkeys(ENDS, 150.0)
A4_MARKS = sorted({mm for marks in calibration_lengths(PAPERS["a4"]).values() for mm in marks})


def lines(nominal: dict[str, float], **factors: float) -> list[Measured]:
    """Three equal readings of each line, each line scaled by its own factor or by `every`."""
    every = factors.get("every", 1.0)
    return [
        Measured(line=k, nominal_mm=mm, readings_mm=(mm * factors.get(k, every),) * 3)
        for k, mm in nominal.items()
    ]


def names(measured: list[Measured], on: str = "a4") -> list[str]:
    """Names of the findings that stand in the way, the weightiest first."""
    found = diagnose(measured, RULE, PAPERS[on], A4_MARKS)
    return [f.name for f in found if f.weight != "note"]


@pytest.mark.parametrize(
    ("factor", "on", "name", "says"),
    [
        (0.9407, "a4", "other-paper", "A4 page fitted to Letter paper"),
        (0.9727, "letter", "other-paper", "Letter page fitted to A4 paper"),
        (0.955, "a4", "fit-to-page", "choose 100 %"),
        (0.963, "letter", "fit-to-page", "choose 100 %"),
        (0.97, "a4", "fit-to-page", "choose 100 %"),
        (1.03, "a4", "borderless", "switch borderless off"),
        (1.055, "letter", "borderless", "switch borderless off"),
        (25.4, "a4", "unit", "mm written as inches"),
        (1 / 25.4, "a4", "unit", "inches read as mm"),
        (0.1, "a4", "unit", "cm read as mm"),
        (10.0, "a4", "unit", "mm written as cm"),
        (4 / 3, "a4", "unit", "points for pixels"),
        (0.75, "a4", "unit", "pixels for points"),
        (0.6, "a4", "fit-to-page", "print dialog"),
    ],
)
def test_whole_sheet_faults(factor: float, on: str, name: str, says: str) -> None:
    """What scales the whole sheet is named, with what to do; no correction may hide it."""
    found = diagnose(lines(ENDS, every=factor), RULE, PAPERS[on], A4_MARKS)[0]
    assert (found.name, found.weight) == (name, "refuse")
    assert says in found.remedy
    with pytest.raises(InputError):
        accept_readings(lines(ENDS, every=factor), RULE, PAPERS[on], A4_MARKS, dialog_checked=True)


@pytest.mark.parametrize(("x", "y"), [(0.955, 0.963), (0.9407, 0.949), (0.97, 0.958)])
def test_fit_to_page_by_a_printer_with_errors_of_its_own(x: float, y: float) -> None:
    """The dialog's factor is known although the printer adds a percent to one axis."""
    found = diagnose(lines({"x": 160.0, "y": 240.0}, x=x, y=y), RULE, PAPERS["a4"], A4_MARKS)[0]
    assert found.name in ("fit-to-page", "other-paper")


@pytest.mark.parametrize("factor", [1.015, 1.024, 0.985, 0.976])
def test_alike_within_what_a_printer_does_asks_for_the_dialog(factor: float) -> None:
    """Both axes off alike by over a percent may be the dialog: stored only once it was checked."""
    measured = lines(ENDS, every=factor)
    assert names(measured) == ["looks-like-the-dialog"]
    with pytest.raises(InputError, match="dialog-checked"):
        accept_readings(measured, RULE, PAPERS["a4"], A4_MARKS)
    accept_readings(measured, RULE, PAPERS["a4"], A4_MARKS, dialog_checked=True)


def test_swapped_by_size() -> None:
    """X and y exchanged, with bars of different length."""
    swapped = [
        Measured(line="x", nominal_mm=160, readings_mm=(240.3,) * 3),
        Measured(line="y", nominal_mm=240, readings_mm=(160.4,) * 3),
    ]
    assert names(swapped)[0] == "swapped"


def test_swapped_by_the_diagonals() -> None:
    """X and y exchanged where both are 150 mm: the diagonals betray it."""
    printer = SimulatedPrinter(1.01, 0.992, 0.002)
    right = read(printer, CALIPERS, np.random.default_rng(3), NEAR)
    x, y, rising, falling = right
    exchanged = [
        Measured(line="x", nominal_mm=150, readings_mm=y.readings_mm),
        Measured(line="y", nominal_mm=150, readings_mm=x.readings_mm),
        rising,
        falling,
    ]
    assert [f.name for f in diagnose(right, CALIPERS, PAPERS["a4"], A4_MARKS)] == []
    found = diagnose(exchanged, CALIPERS, PAPERS["a4"], A4_MARKS)[0]
    assert (found.name, found.weight) == ("swapped", "refuse")


@pytest.mark.parametrize("line", ["x", "y", "rising", "falling"])
@pytest.mark.parametrize("slip", [-1.0, 1.0, 10.0])
def test_one_outlier_among_three(line: str, slip: float) -> None:
    """One of three readings that stands alone is named with its line."""
    measured = lines(ENDS, x=1.003, y=0.998)
    worse = [
        m
        if m.line != line
        else Measured(
            line=line,
            nominal_mm=m.nominal_mm,
            readings_mm=(m.readings_mm[0], m.readings_mm[0] + slip, m.readings_mm[0] + 0.05),
        )
        for m in measured
    ]
    found = diagnose(worse, RULE, PAPERS["a4"], A4_MARKS)[0]
    assert (found.name, found.line) == ("outlier", line)
    assert f"{worse[list(ENDS).index(line)].readings_mm[1]:g} mm" in found.seen


def test_a_whole_line_misread() -> None:
    """Three equal readings of one diagonal, a millimetre off, do not fit the sides."""
    measured = lines(ENDS, rising=1 + 1 / 265)
    found = diagnose(measured, CALIPERS, PAPERS["a4"], A4_MARKS)[0]
    assert (found.name, found.weight) == ("misread-line", "refuse")


@pytest.mark.parametrize(("read_at", "nominal"), [(150.0, 160.0), (160.0, 150.0)])
def test_wrong_marks(read_at: float, nominal: float) -> None:
    """A reading of the other mark is told apart from a printer that is far off."""
    measured = [
        Measured(line="x", nominal_mm=nominal, readings_mm=(read_at + 0.1,) * 3),
        Measured(line="y", nominal_mm=240, readings_mm=(240.2,) * 3),
    ]
    assert names(measured) == ["wrong-marks"]


def test_diagonals_alone_are_no_matter_of_the_dialog() -> None:
    """True sides with both diagonals far off: the diagonals were misread, nothing was scaled."""
    found = diagnose(lines(ENDS, rising=1.09, falling=1.09), RULE, PAPERS["a4"], A4_MARKS)[0]
    assert (found.name, found.line) == ("beyond-a-printer", "rising")
    assert "read that line again" in found.remedy


def test_one_axis_beyond_a_printer() -> None:
    """An axis that is 4 % short alone is no printer's doing."""
    assert names(lines({"x": 160.0, "y": 240.0}, y=0.96)) == ["beyond-a-printer"]


def test_shear_beyond_a_printer() -> None:
    """Diagonals that differ by 1 % say that the paper was fed askew or a mark was mistaken."""
    printer = SimulatedPrinter(1.001, 0.999, 0.012)
    measured = [
        Measured(line=k, nominal_mm=mm, readings_mm=(printer.length(k, mm),) * 3)
        for k, mm in ENDS.items()
    ]
    assert names(measured)[0] == "shear-beyond-a-printer"


def test_notes_do_not_stand_in_the_way() -> None:
    """Single readings and missing diagonals are said, and stored all the same."""
    measured = [Measured(line=k, nominal_mm=160, readings_mm=(160.5,)) for k in "xy"]
    notes = accept_readings(measured, RULE, PAPERS["a4"], A4_MARKS)
    assert {n.name for n in notes} == {"few-readings", "no-diagonals"}
    wild = [Measured(line=k, nominal_mm=160, readings_mm=(159.9, 160.5, 160.2)) for k in "xy"]
    assert "scatter" in {n.name for n in accept_readings(wild, CALIPERS, PAPERS["a4"], A4_MARKS)}


@pytest.mark.parametrize("instrument", [CALIPERS, RULE, RULER], ids=lambda i: i.name)
def test_healthy_printers_are_let_through(instrument: object) -> None:
    """Of 400 printers to 2 % and 0.5 %, honestly read, none is refused for its readings."""
    random = np.random.default_rng(12)
    nominal = NEAR if instrument is CALIPERS else ENDS
    for _ in range(400):
        measured = read(draw_printer(random), instrument, random, nominal)  # type: ignore[arg-type]
        accept_readings(measured, instrument, PAPERS["a4"], A4_MARKS, dialog_checked=True)  # type: ignore[arg-type]


def test_readings_are_set_beside_the_sheet() -> None:
    """Nominal lengths are those of the marks that were measured, or the user's own."""
    a4 = paper("a4")
    ends = read_lines(a4, "ends", {"x": [160.1], "y": [240.1]}, {})
    near = read_lines(a4, "150", {"x": [150.1], "rising": [150.2]}, {"x": 100.0})
    assert [(m.line, m.nominal_mm) for m in ends] == [("x", 160.0), ("y", 240.0)]
    assert [(m.line, m.nominal_mm) for m in near] == [("x", 100.0), ("rising", 150.0)]


def test_a_print_out_of_scale_fails_instead_of_being_refused() -> None:
    """On the verification sheet fit-to-page is a failed print; a slip of the reader is no print."""
    profile = fit(lines(ENDS), RULE)
    answer = judge_print(
        profile, lines(ENDS, every=0.96), RULE, PAPERS["a4"], A4_MARKS, budget_mm=0.1
    )
    assert answer.result.verdict == "fail"
    assert "fit to page" in answer.advice
    with pytest.raises(InputError, match="inches read as mm"):
        judge_print(
            profile, lines(ENDS, every=1 / 25.4), RULE, PAPERS["a4"], A4_MARKS, budget_mm=0.1
        )


@pytest.mark.parametrize("ratio", [0.99, 1.01])
def test_diagonals_that_miss_either_way_are_misread(ratio: float) -> None:
    """Both diagonals too short or too long for equal sides: x and y exchanged would not help."""
    found = diagnose(lines(NEAR, rising=ratio, falling=ratio), CALIPERS, PAPERS["a4"], A4_MARKS)[0]
    assert (found.name, found.weight) == ("misread-line", "refuse")


@pytest.mark.parametrize(("gap", "stands_alone"), [(0.66, False), (1.0, True)])
def test_an_outlier_stands_three_times_as_far_off_as_the_others_lie_apart(
    gap: float, stands_alone: bool
) -> None:
    """Readings 0.3 mm apart, and one away from them: alone from three times that on, not before."""
    measured = lines(ENDS)
    measured[0] = Measured(line="x", nominal_mm=160, readings_mm=(160.0, 160.3, 160.3 + gap))
    found = [f.name for f in diagnose(measured, RULE, PAPERS["a4"], A4_MARKS)]
    assert ("outlier" in found) == stands_alone


@pytest.mark.parametrize(("sigmas", "beyond"), [(1.9, False), (2.1, True)])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_beyond_a_printer_by_twice_the_uncertainty(
    sigmas: float, beyond: bool, sign: float
) -> None:
    """A scale more than 2.5 % off counts only when it is off by two standard uncertainties more."""
    sure = fit(lines({"x": 160.0, "y": 240.0}, x=1 + sign * 0.025), RULE).uncertainties[0]
    off = 1 + sign * (0.025 + sigmas * sure)
    found = diagnose(lines({"x": 160.0, "y": 240.0}, x=off), RULE, PAPERS["a4"], A4_MARKS)
    said = [(f.line, f.allowed) for f in found if f.name == "beyond-a-printer"]
    assert said == ([("x", "97.5 to 102.5 %")] if beyond else [])


@pytest.mark.parametrize("line", ["x", "y", "rising", "falling"])
@pytest.mark.parametrize("marks", [ENDS, {k: 1.6 * mm for k, mm in ENDS.items()}])
def test_a_ruler_started_at_one_centimetre(line: str, marks: dict[str, float]) -> None:
    """Ten millimetres too much on one line: asked about, on A4 and where it is under 3 %."""
    measured = [
        replace(m, readings_mm=tuple(r + 10 * (m.line == line) for r in m.readings_mm))
        for m in lines(marks, x=1.004, y=0.998)
    ]
    found = diagnose(measured, RULER, PAPERS["a3"], ())[0]
    assert found.name == "started-late"
    assert "1 cm line" in found.remedy


@pytest.mark.parametrize("slip", [-6.0, -2.0, 2.0, 4.0, 6.0])
@pytest.mark.parametrize("line", ["rising", "falling"])
def test_a_slip_in_one_diagonal_is_not_blamed_on_x(line: str, slip: float) -> None:
    """Three equal readings of one diagonal, millimetres off: whatever is named, it is not X."""
    measured = [
        replace(m, readings_mm=tuple(r + slip * (m.line == line) for r in m.readings_mm))
        for m in lines(NEAR, x=1.008, y=0.994)
    ]
    found = diagnose(measured, CALIPERS, PAPERS["a4"], A4_MARKS)[0]
    assert found.weight == "refuse"
    assert found.line != "x"
    assert "X" not in found.remedy or "or one of the four lines is misread" in found.remedy


def test_scatter_is_said_of_the_line_that_scatters() -> None:
    """A reading of one diagonal that is off a little: the note names that diagonal."""
    measured = lines(ENDS)
    measured[3] = replace(measured[3], readings_mm=(265.0, 265.4, 264.6))
    notes = diagnose(measured, CALIPERS, PAPERS["a4"], A4_MARKS)
    assert [(f.name, f.line) for f in notes] == [("scatter", "falling")]
