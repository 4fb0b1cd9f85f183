"""The exact alignment of a deck: what is held, what limits cost, and what is refused."""

from __future__ import annotations

import json
import math
import random
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.alignments.objective import OWN_OBJECTIVE
from protractor.arms.play import Play
from protractor.arms.records import Record
from protractor.arms.schemes import SCHEMES
from protractor.errors import InputError


def exact(**given: Any) -> Alignment:
    """The exact alignment of a deck."""
    return align(Deck(exact=True, **given))


@given(
    length=st.floats(170.0, 400.0),
    held=st.sampled_from(["pivot_to_spindle_mm", "effective_length_mm"]),
)
@settings(max_examples=40)
def test_the_exact_optimum_is_never_worse_than_the_closed_form(length: float, held: str) -> None:
    """Each scheme's own figure, exact against published closed form on the same deck.

    The objective is error / radius; distortion goes with tan(error) / radius, which is nearly the
    same: hence the millionth.
    """
    figures = {
        "lofgren-a": "peak_second_harmonic_percent",
        "lofgren-c": "rms_second_harmonic_percent",
        "equal-angle": "peak_tracking_error_deg",
    }
    for scheme, figure in figures.items():
        best = getattr(exact(scheme=scheme, **{held: length}), figure)
        closed = getattr(align(Deck(scheme=scheme, **{held: length})), figure)
        assert best <= closed * (1 + 1e-6)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_what_is_held_stays_as_given(scheme: str) -> None:
    """Pivot to spindle, effective length, or the offset angle beside one of them."""
    by_d = exact(pivot_to_spindle_mm=222.0, scheme=scheme)
    assert by_d.arm.pivot_to_spindle_mm == 222.0
    assert by_d.held == "pivot-to-spindle"
    by_length = exact(effective_length_mm=240.0, scheme=scheme)
    assert by_length.arm.effective_length_mm == 240.0
    assert by_length.held == "effective-length"
    if scheme != "lofgren-b":
        by_angle = exact(
            pivot_to_spindle_mm=222.0,
            offset_angle_deg=22.3,
            held="offset-angle",
            scheme=scheme,
        )
        assert by_angle.arm.offset_angle_rad == math.radians(22.3)
        assert by_angle.arm.pivot_to_spindle_mm == 222.0
        assert by_angle.held == "offset-angle"


def test_stevenson_keeps_his_null() -> None:
    """The exact alignment has its null at the inner recorded radius."""
    assert exact(pivot_to_spindle_mm=222.0, scheme="stevenson").arm.null_radii_mm[
        0
    ] == pytest.approx(60.325, abs=1e-9)


def test_lofgren_b_keeps_the_linear_offset_of_the_exact_lofgren_a() -> None:
    """Same linear offset, less rms distortion, more peak."""
    a, b = (exact(pivot_to_spindle_mm=222.0, scheme=f"lofgren-{x}") for x in "ab")
    assert b.arm.linear_offset_mm == pytest.approx(a.arm.linear_offset_mm, abs=1e-9)
    assert b.rms_second_harmonic_percent < a.rms_second_harmonic_percent
    assert b.peak_second_harmonic_percent > a.peak_second_harmonic_percent


def test_a_limit_is_told_with_its_cost() -> None:
    """Slots that end at 16 mm overhang: the upper end binds, and the cost is the loss."""
    free = exact(pivot_to_spindle_mm=222.0, scheme="equal-angle")
    short = exact(pivot_to_spindle_mm=222.0, scheme="equal-angle", overhang_range_mm=(10.0, 16.0))
    assert short.terms is not None
    assert short.terms.binding == ["upper end of overhang-range"]
    assert short.arm.overhang_mm == pytest.approx(16.0, abs=1e-9)
    assert short.terms.limit_cost == pytest.approx(
        short.peak_tracking_error_deg / free.peak_tracking_error_deg - 1, rel=1e-9
    )
    assert short.as_dict()["limits"]["binding"] == ["upper end of overhang-range"]


def test_an_objective_of_ones_own() -> None:
    """Least rms of the plain angle with a null at 80 mm, a scheme without a name."""
    mine = exact(pivot_to_spindle_mm=222.0, norm="rms", weight="none", null_at_mm=80.0)
    assert mine.scheme == OWN_OBJECTIVE
    assert 80.0 in [pytest.approx(r, abs=1e-9) for r in mine.arm.null_radii_mm]


@pytest.mark.parametrize(
    ("arguments", "name", "says"),
    [
        ({}, "pivot-to-spindle", "neither length"),
        ({"pivot_to_spindle_mm": 222.0, "effective_length_mm": 240.0}, "pivot-to-spindle", "both"),
        ({"pivot_to_spindle_mm": 222.0, "held": "overhang"}, "held", "offset-angle"),
        ({"pivot_to_spindle_mm": 222.0, "held": "effective-length"}, "held", "leave held out"),
        ({"pivot_to_spindle_mm": 222.0, "held": "offset-angle"}, "offset-angle", "straight arm"),
        ({"pivot_to_spindle_mm": 222.0, "offset_angle_deg": 22.9183}, "offset-angle", "add held"),
        ({"pivot_to_spindle_mm": 222.0, "scheme": "null-radii"}, "scheme", "leave out exact"),
        ({"pivot_to_spindle_mm": 222.0, "scheme": "lofgren"}, "scheme", "lofgren-a"),
        ({"pivot_to_spindle_mm": 90.0}, "pivot-to-spindle", "120 to 500"),
        (
            {
                "pivot_to_spindle_mm": 222.0,
                "held": "offset-angle",
                "offset_angle_deg": 22.9183,
                "scheme": "lofgren-b",
            },
            "scheme",
            "lofgren-c",
        ),
        (
            {"pivot_to_spindle_mm": 222.0, "record": "7", "overhang_range_mm": (55.0, 60.0)},
            "overhang-range",
            "lower limit",
        ),
        (
            {
                "pivot_to_spindle_mm": 222.0,
                "held": "offset-angle",
                "offset_angle_deg": 22.9183,
                "offset_range_deg": (11.0, 17.0),
            },
            "offset-range",
            "upper limit to 22.919 deg",
        ),
    ],
)
def test_what_is_refused(arguments: dict[str, object], name: str, says: str) -> None:
    """The error names the input and says what to do."""
    with pytest.raises(InputError, match=re.escape(says)) as refusal:
        exact(**arguments)
    assert refusal.value.name == name


@pytest.mark.parametrize("scheme", ["stevenson", "lofgren-b"])
@pytest.mark.parametrize("offsets", [(5.0, 10.0), (40.0, 45.0)])
def test_limits_that_exclude_every_arm_say_how_far_to_loosen(
    scheme: str, offsets: tuple[float, float]
) -> None:
    """Loosened by what the error says, to the digit it prints, there is an arm; by less, none."""
    limits = {
        "overhang_range_mm": (14.0, 16.0),
        "offset_range_deg": offsets,
    }
    with pytest.raises(InputError) as refusal:
        exact(pivot_to_spindle_mm=222.0, scheme=scheme, **limits)
    assert refusal.value.name == "offset-range"
    match = re.search(r"loosen its (lower|upper) limit to ([\d.]+) deg", str(refusal.value))
    assert match is not None
    for slack, fits in ((0.0, True), (-0.002, False)):
        end = float(match[2]) + (slack if match[1] == "upper" else -slack)
        ends = (offsets[0], end) if match[1] == "upper" else (end, offsets[1])
        loosened = {**limits, "offset_range_deg": ends}
        if fits:
            exact(pivot_to_spindle_mm=222.0, scheme=scheme, **loosened)
        else:
            with pytest.raises(InputError):
                exact(pivot_to_spindle_mm=222.0, scheme=scheme, **loosened)


def test_a_null_and_an_angle_that_the_slots_cannot_bring_together() -> None:
    """Both kept, one overhang is left; when the range misses it the error names it."""
    fixed = {"pivot_to_spindle_mm": 222.0, "held": "offset-angle", "offset_angle_deg": 22.9183}
    left = exact(**fixed, scheme="stevenson").arm.overhang_mm
    with pytest.raises(InputError, match=f"{left:.3f}") as refusal:
        exact(**fixed, scheme="stevenson", overhang_range_mm=(5.0, 8.0))
    assert refusal.value.name == "overhang-range"


def some_record(rng: random.Random) -> Record:
    """Any record that the inputs let through."""
    inner = rng.uniform(30, 150)
    return Record(
        name="some",
        inner_radius_mm=inner,
        outer_radius_mm=rng.uniform(inner + 1, 220),
        rpm=rng.choice([16.0, 33.3, 45.0, 78.0]),
    )


def some_range(rng: random.Random, low: float, high: float) -> tuple[float, float] | None:
    """An ordered range, or none in three cases of five."""
    ends = sorted((rng.uniform(low, high), rng.uniform(low, high)))
    return (ends[0], ends[1]) if rng.random() < 0.4 else None


@pytest.mark.parametrize("seed", range(4))
def test_whatever_is_asked_is_answered_or_refused(seed: int) -> None:
    """100 random questions, absurd ones among them: an arm within the limits, or an `InputError`.

    A refusal that says how far to loosen a limit never says it by less than nothing.
    """
    rng = random.Random(seed)
    for _ in range(100):
        limits = {
            "overhang_range_mm": some_range(rng, -60, 60),
            "offset_range_deg": some_range(rng, -57, 57),
        }
        length = rng.choice(["pivot_to_spindle_mm", "effective_length_mm"])
        held = rng.random() < 0.3
        own = {
            "norm": rng.choice(["peak", "rms"]),
            "weight": rng.choice(["radius", "none"]),
            "null_at_mm": rng.choice([None, rng.uniform(30, 220)]),
        }
        aim = rng.choice([own, {"scheme": rng.choice(list(SCHEMES))}])
        count = rng.randint(1, 3)
        play = Play(
            records=tuple(some_record(rng) for _ in range(count)), shares=(1 / count,) * count
        )
        refusal = ""
        found = None
        try:
            found = exact(
                **{length: rng.uniform(121, 500)},
                **limits,
                **aim,
                held="offset-angle" if held else None,
                offset_angle_deg=rng.uniform(-17, 51) if held else None,
                record=some_record(rng),
                play=rng.choice([(), play]),
            )
        except InputError as error:
            refusal = str(error)
        assert "by -" not in refusal
        assert "nan" not in refusal
        if found is None:
            continue
        json.dumps(found.as_dict(), allow_nan=False)
        for value, limit in zip(
            (found.arm.overhang_mm, found.arm.offset_angle_deg), limits.values(), strict=True
        ):
            assert limit is None or limit[0] - 1e-9 <= value <= limit[1] + 1e-9


def test_a_missed_range_names_what_can_be() -> None:
    """The range that other limits leave, or the one angle that is kept, to a thousandth."""
    limits = {"overhang_range_mm": (16.0, 17.0), "offset_range_deg": (0.0, 3.0)}
    with pytest.raises(InputError, match=r"a range that meets 22\.523 to 23\.452 deg"):
        exact(pivot_to_spindle_mm=222.0, scheme="stevenson", **limits)
    with pytest.raises(InputError, match=r"a range that meets 22\.918 deg, .* by 5\.919"):
        exact(
            pivot_to_spindle_mm=222.0,
            held="offset-angle",
            offset_angle_deg=22.9183,
            offset_range_deg=(11.0, 17.0),
        )


@pytest.mark.parametrize(
    ("deck", "objective"),
    [
        ({"scheme": "lofgren-a"}, ("peak", "1/r", None, None)),
        ({"scheme": "lofgren-b"}, ("rms", "1/r", None, "lofgren-a")),
        ({"scheme": "stevenson"}, ("peak", "1/r", "inner", None)),
        ({"scheme": "equal-angle"}, ("peak", "1", None, None)),
        ({"norm": "rms", "weight": "none", "null_at_mm": 63.0}, ("rms", "1", 63.0, None)),
    ],
)
def test_the_objective_under_its_keys(
    deck: dict[str, Any], objective: tuple[str, str, object, object]
) -> None:
    """`--json` says what each scheme makes small when exact: norm, weight, null and offset kept."""
    found = exact(pivot_to_spindle_mm=222.0, **deck).as_dict()["objective"]
    keys = ("norm", "weight", "null_at_mm", "linear_offset_of")
    assert found == dict(zip(keys, objective, strict=True))


@pytest.mark.parametrize("slope", [None, 6.0])
def test_harmonics_of_the_inner_groove(slope: float | None) -> None:
    """The second is speed times the error's tangent over the groove's; replay weakens each.

    E. Löfgren 1938: H2 = v tan(e) / (omega r), here for 10 cm/s at 33 1/3 rpm; after a replay slope
    of 6 dB/octave the fourth harmonic is 12 dB down.
    """
    groove = align(Deck(pivot_to_spindle_mm=222.0, replay_slope_db_octave=slope)).as_dict()
    inner = groove["inner_groove"]
    plain = align(Deck(pivot_to_spindle_mm=222.0)).as_dict()["inner_groove"]["harmonics_percent"]
    tangent = math.tan(math.radians(inner["tracking_error_deg"]))
    second = 100 * 100.0 * tangent / (2 * math.pi * 100 / 3 / 60 * inner["radius_mm"])
    assert plain[0] == pytest.approx(second, rel=1e-3)
    for order, (percent, before) in enumerate(zip(inner["harmonics_percent"], plain, strict=True)):
        down = -20 * math.log10(percent / before)
        assert down == pytest.approx((slope or 0.0) * math.log2(order + 2), abs=1e-9)
