"""Statements about an arm: agreement, the culprit, the arm behind, at the stated certainty."""

import math
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.arm import Arm
from protractor.arms.records import Record, record
from protractor.arms.straight import straight_arm
from protractor.errors import InputError
from protractor.setup.consistency import Statement, fit_statements, label_statements
from protractor.setup.estimate import COVERAGE
from protractor.setup.reconcile import Reconciliation, reconcile_statements
from protractor.setup.reconciled_arm import Settled
from protractor.setup.statements import read_statement
from tests.benchmarks.planted_errors import outcome, planted
from tests.tries import tries

SIDE = record()
D = {"pivot_to_spindle": "222"}


def said(pivot_height_mm: float = 0.0, side: Record = SIDE, **texts: str) -> Reconciliation:
    """Statements written as a user writes them; null radii as two words."""
    statements = []
    for key, text in texts.items():
        name = key.replace("_", "-")
        words = text.split() if name == "null-radii" else [text]
        statements += [read_statement(name, word) for word in words]
    return reconcile_statements(statements, side, pivot_height_mm=pivot_height_mm)


def settled(found: Reconciliation) -> Settled:
    """The arm that was found; fails where none was."""
    assert found.settled is not None
    return found.settled


def rounded(arm: Arm, digits: int) -> list[Statement]:
    """Everything about an arm, each number rounded to so many decimals."""
    inner, outer = arm.null_radii_mm
    values = [
        ("pivot-to-spindle", arm.pivot_to_spindle_mm),
        ("effective-length", arm.effective_length_mm),
        ("overhang", arm.overhang_mm),
        ("offset-angle", arm.offset_angle_deg),
        ("linear-offset", arm.linear_offset_mm),
        ("null-radii", inner),
        ("null-radii", outer),
    ]
    return [read_statement(name, f"{value:.{digits}f}") for name, value in values]


def random_arm(rng: np.random.Generator) -> Arm:
    """An arm with two nulls on a 12-inch record."""
    return Arm.through_nulls(
        (rng.uniform(58, 72), rng.uniform(112, 124)), pivot_to_spindle_mm=rng.uniform(195, 320)
    )


def test_howards_radii_from_rounded_data() -> None:
    """Overhang and offset of his arm, rounded, give back the null radii that he prints.

    K. Howard, 'Arc Angles', Stereophile, March 2010, p. 5: 56 to 146.3 mm gives 61.6 and 118.4 mm.
    """
    side = record(inner_radius_mm=56.0, outer_radius_mm=146.3)
    arm = align(Deck(effective_length_mm=230.0, record=side)).arm
    found = said(
        side=side,
        effective_length="230.0",
        overhang=f"{arm.overhang_mm:.2f}",
        linear_offset=f"{arm.linear_offset_mm:.2f}",
    )
    assert found.agrees
    assert settled(found).alignment.scheme == "lofgren-a"
    for null, printed, (low, high) in zip(
        settled(found).alignment.arm.null_radii_mm,
        (61.6, 118.4),
        settled(found).intervals["null_radii_mm"],
        strict=True,
    ):
        assert null == pytest.approx(printed, abs=0.1)
        assert low - 0.05 <= printed <= high + 0.05


def test_truth_lies_in_the_stated_interval_at_the_stated_rate() -> None:
    """Random arms with rounded statements: no false alarm, and 95 % intervals that hold 95 %.

    The rate is tested within 3 sigma of the runs, 500 when all are tried.
    """
    rng = np.random.default_rng(11)
    runs = tries(500)
    hits: dict[str, int] = {}
    keys = ("effective_length_mm", "overhang_mm", "offset_angle_deg", "linear_offset_mm")
    for _ in range(runs):
        arm = random_arm(rng)
        statements = rounded(arm, 1)
        found = reconcile_statements(statements, SIDE)
        assert found.agrees, [str(s) for s in statements]
        truth = align(
            Deck(pivot_to_spindle_mm=arm.pivot_to_spindle_mm, null_radii_mm=arm.null_radii_mm)
        ).as_dict()
        for key in keys:
            low, high = settled(found).intervals[key]
            hits[key] = hits.get(key, 0) + (low <= truth[key] <= high)
        for i in range(2):
            low, high = settled(found).intervals["null_radii_mm"][i]
            key = f"null {i}"
            hits[key] = hits.get(key, 0) + (low <= truth["null_radii_mm"][i] <= high)
    slack = 3 * math.sqrt(COVERAGE * (1 - COVERAGE) / runs)
    assert all(abs(n / runs - COVERAGE) < slack for n in hits.values()), hits


@pytest.mark.parametrize(
    ("name", "error"),
    [
        ("pivot-to-spindle", 3.0),
        ("effective-length", -3.0),
        ("overhang", 2.5),
        ("offset-angle", 2.0),
        ("linear-offset", -5.0),
        ("null-radii inner", 4.0),
        ("null-radii outer", -4.0),
    ],
)
def test_a_planted_contradiction_is_named(name: str, error: float) -> None:
    """Over 6 random arms one statement is spoiled: it is named, with the size of its error."""
    rng = np.random.default_rng(12)
    for _ in range(6):
        arm = random_arm(rng)
        statements = rounded(arm, 1)
        labels = [s.label for s in label_statements(statements)]
        i = labels.index(name)
        statements[i] = replace(statements[i], value=statements[i].value + error)
        found = reconcile_statements(statements, SIDE)
        assert not found.agrees
        assert found.suspect == name
        # a null radius answers seven times as strongly as what it is worked out from
        assert found.suspect_off == pytest.approx(error, abs=1.0 if "null" in name else 0.3)
        # without the culprit the arm is the true one
        assert settled(found).alignment.arm.overhang_mm == pytest.approx(arm.overhang_mm, abs=0.2)


def test_three_that_only_contradict_one_another() -> None:
    """Pivot to spindle, length and overhang alone: any may be wrong, and each has its arm.

    222 and 239.3 are Löfgren A to a tenth, which is told as a hint and decides nothing.
    """
    found = said(pivot_to_spindle="222.0", effective_length="239.3", overhang="27.3")
    assert set(found.conflict) == {"pivot-to-spindle", "effective-length", "overhang"}
    assert set(found.candidates) == set(found.conflict)
    assert found.suspect is None
    assert found.settled is None
    assert found.as_dict()["arm"] is None
    arms = {e.leave_out: e.alignment.arm for e in found.explanations}
    assert arms["effective-length",].effective_length_mm == pytest.approx(249.3)
    assert arms["overhang",].overhang_mm == pytest.approx(17.3)
    assert sum(e.probability for e in found.explanations) == pytest.approx(1.0)
    # nothing was said of the offset: no line makes one up
    assert all(e.left_open == ("offset_angle_deg", "null_radii_mm") for e in found.explanations)


def test_the_scheme_of_one_explanation_is_a_hint() -> None:
    """Of three explanations one makes the arm of a scheme: named there, and no verdict."""
    found = said(
        pivot_to_spindle="222.0", effective_length="239.3", overhang="18.8", offset_angle="23.0"
    )
    assert {e.leave_out: e.scheme for e in found.explanations}["overhang",] == "lofgren-a"
    assert found.suspect is None


@pytest.mark.parametrize(
    ("texts", "wrong", "reading"),
    [
        ({"overhang": "-17.3"}, ("overhang",), "as if its sign were turned"),
        ({"effective_length": "222.0"}, ("effective-length",), "as if it were the pivot-to-spin"),
        ({"pivot_to_spindle": "239.3"}, ("pivot-to-spindle",), "as if it were the effective-len"),
        ({"overhang": "43.9"}, ("overhang",), "as if it were in cm, not in in"),
        ({"overhang": "0.681"}, ("overhang",), "as if it were in in, not in mm"),
        ({"linear_offset": "9.344"}, ("linear-offset",), "as if it were in cm, not in mm"),
        (
            {"pivot_to_spindle": "239.3", "effective_length": "222.0"},
            ("pivot-to-spindle", "effective-length"),
            "as if the two had been exchanged",
        ),
    ],
)
@pytest.mark.parametrize("nulls", [False, True])
def test_mistakes_by_name(
    texts: dict[str, str], wrong: tuple[str, ...], reading: str, nulls: bool
) -> None:
    """A turned sign, one length given for the other, another unit: tried, and said by name.

    With null radii beside it the statement is named; without, it stays among the explanations.
    """
    right = {
        "pivot_to_spindle": "222.0",
        "effective_length": "239.3",
        "overhang": "17.3",
        "offset_angle": "23.0",
        "linear_offset": "93.45",
    }
    if nulls:
        right["null_radii"] = "66.0 120.9"
    found = said(**(right | texts))
    way = next(e for e in found.explanations if e.leave_out == wrong)
    assert way.reading.startswith(reading)
    assert way.alignment.arm.overhang_mm == pytest.approx(17.3, abs=0.1)
    assert found.explanations[0] == way
    if nulls and len(wrong) == 1:
        assert found.suspect == wrong[0]


@pytest.mark.parametrize(
    ("texts", "likeliest"),
    [
        (
            {"null_radii": "66.0 120.9", "effective_length": "222", "pivot_to_spindle": "239"},
            ("pivot-to-spindle", "effective-length"),
        ),
        (
            {"overhang": "17.3", "offset_angle": "0.0", "null_radii": "66 121", **D},
            ("offset-angle",),
        ),
        (
            {"effective_length": "300", "overhang": "17.3", "null_radii": "66 121", **D},
            ("effective-length",),
        ),
    ],
)
def test_statements_far_from_one_arm(texts: dict[str, str], likeliest: tuple[str, ...]) -> None:
    """What no arm comes near is explained by the statement that is in the way."""
    assert said(**texts).explanations[0].leave_out == likeliest


def test_two_wrong_statements() -> None:
    """Radii of one scheme beside the figures of another: pairs, each with its arm, none named."""
    found = said(
        pivot_to_spindle="222.0", overhang="17.3", offset_angle="23.0", null_radii="60.0 117.4"
    )
    ways = {e.leave_out: e.alignment.arm for e in found.explanations}
    assert ways["null-radii inner", "null-radii outer"].overhang_mm == pytest.approx(17.3, abs=0.01)
    assert ways["overhang", "offset-angle"].null_radii_mm == pytest.approx((60, 117.4), abs=0.1)
    assert found.suspect is None
    assert found.candidates == ()


def test_planted_errors() -> None:
    """25 arms of no scheme with one wrong statement: what is named is right, all else is listed.

    `tests/benchmarks/planted_errors.py` does the same a thousand times.
    """
    rng = np.random.default_rng(20)
    came = Counter(outcome(planted(rng)) for _ in range(25))
    assert came["right"] >= 8
    assert came["right"] + came["listed"] + came["not noticed"] == 25


def test_what_is_odd_is_said() -> None:
    """An underhung arm with an offset, and a null radius that the statements hardly settle."""
    odd = settled(said(pivot_to_spindle="222", overhang="-17", offset_angle="23"))
    assert "check the sign of the overhang" in odd.remarks[0]
    assert any("not aligned for the record at all" in remark for remark in odd.remarks)
    loose = settled(said(pivot_to_spindle="222", overhang="17", offset_angle="23"))
    assert any("null radii are hardly settled" in remark for remark in loose.remarks)
    assert settled(said(pivot_to_spindle="222", overhang="17.3", offset_angle="23.0")).remarks == ()


def test_two_sources_for_one_quantity() -> None:
    """The same quantity stated twice, differently, is a contradiction of the two."""
    found = reconcile_statements(
        [
            read_statement("pivot-to-spindle", "222.0"),
            read_statement("overhang", "17.3"),
            read_statement("overhang", "15.0"),
        ],
        SIDE,
    )
    assert set(found.conflict) == {"overhang", "overhang (2)"}


def test_what_is_not_stated_is_taken_from_the_closest_scheme() -> None:
    """Pivot to spindle and overhang leave the offset open: assumed, said, and without certainty."""
    found = said(pivot_to_spindle="222.0", overhang="17.3")
    assert settled(found).assumed == "lofgren-a"
    assert settled(found).alignment.arm.offset_angle_deg == pytest.approx(22.99, abs=0.02)
    assert settled(found).uncertainty["offset_angle_deg"] is None
    assert settled(found).uncertainty["null_radii_mm"] == [None, None]
    assert settled(found).uncertainty["overhang_mm"] == pytest.approx(0.05 / math.sqrt(3), rel=0.02)


def test_each_number_of_solve_has_its_uncertainty() -> None:
    """`--json` holds under `arm` every numeric key of `solve` and the same with `_u`."""
    arm = said(pivot_to_spindle="222.0", overhang="17.3", offset_angle="23.0").as_dict()["arm"]
    for key in align(Deck(pivot_to_spindle_mm=222.0)).as_dict():
        assert key in arm
        if key.endswith(("_mm", "_deg", "_percent")):
            assert arm[f"{key}_u"] is not None


def test_an_underhung_arm_is_compared_with_straight_ones() -> None:
    """A straight arm is recognised, and is not measured against arms with two nulls."""
    arm = straight_arm("equal-angle", SIDE, pivot_to_spindle_mm=240.0)
    found = said(pivot_to_spindle="240.0", overhang=f"{arm.overhang_mm:.2f}", offset_angle="0.0")
    assert settled(found).alignment.scheme == "equal-angle"
    assert settled(found).best.scheme == "lofgren-a"
    assert settled(found).alignment.as_dict()["null_radii_mm"][0] is None


@pytest.mark.parametrize("offset", [{"offset_angle": "0"}, {"linear_offset": "0"}])
def test_a_straight_arm_needs_no_overhang(offset: dict[str, str]) -> None:
    """Pivot to spindle and an offset of none: the rest is the underhung arm of a scheme."""
    found = said(pivot_to_spindle="222.0", **offset)
    best = straight_arm("lofgren-a", SIDE, pivot_to_spindle_mm=222.0)
    assert settled(found).assumed == "lofgren-a"
    assert settled(found).alignment.arm.overhang_mm == pytest.approx(best.overhang_mm, abs=1e-3)
    assert settled(found).alignment.peak_second_harmonic_percent == pytest.approx(
        settled(found).best.peak_second_harmonic_percent, abs=1e-3
    )


def test_the_estimate_lies_in_its_interval() -> None:
    """At the scheme of least distortion any other arm costs more: the interval still holds it."""
    found = said(pivot_to_spindle="222", effective_length="239.3", offset_angle="23")
    low, high = settled(found).intervals["peak_second_harmonic_percent"]
    assert low <= settled(found).alignment.peak_second_harmonic_percent <= high


def test_pivot_height_projects_the_length() -> None:
    """A length along the slope agrees only when the height is told."""
    slope = math.hypot(239.3, 25.0)
    texts = {
        "pivot_to_spindle": "222.0",
        "effective_length": f"{slope:.1f}",
        "overhang": "17.3",
        "offset_angle": "23.0",
        "null_radii": "66.0 120.9",
    }
    assert said(**texts).suspect == "effective-length"
    assert said(pivot_height_mm=25.0, **texts).agrees


def test_the_cost_beside_the_best_scheme() -> None:
    """The best scheme on the same deck costs no more than the arm as stated."""
    found = said(pivot_to_spindle="222.0", overhang="15.0", offset_angle="21.5")
    assert settled(found).best.scheme == "lofgren-a"
    assert (
        settled(found).best.peak_second_harmonic_percent
        < settled(found).alignment.peak_second_harmonic_percent
    )


@pytest.mark.parametrize(
    ("texts", "match"),
    [
        ({"overhang": "17"}, "add pivot-to-spindle or effective-length"),
        ({"pivot_to_spindle": "222"}, "add overhang"),
        ({"null_radii": "66.0 120.9"}, "add pivot-to-spindle"),
        ({"null_radii": "120.9 66.0", "overhang": "17"}, "inner radius first"),
        ({"null_radii": "66.0 120.9", "linear_offset": "93.4"}, "add pivot-to-spindle"),
        ({"null_radii": "66.0 120.9", "overhang": "-12"}, "overhang -12"),
        ({"effective_length": "120±5", "linear_offset": "150"}, "effective-length 120"),
        (
            {"pivot_to_spindle": "222", "effective_length": "300"},
            "effective-length: got 300 mm beside pivot-to-spindle 222 mm",
        ),
        (
            {"pivot_to_spindle": "222", "offset_angle": "44", "linear_offset": "20"},
            "effective length of 29 mm",
        ),
        ({"pivot_to_spindle": "372", "offset_angle": "-24"}, "pivot-to-spindle: got 372 mm"),
        ({"offset_angle": "0", "linear_offset": "0", "overhang": "17"}, "add pivot-to-spindle"),
        ({"offset_angle": "23", "linear_offset": "30"}, "effective length of 77 mm"),
    ],
)
def test_statements_that_cannot_do(texts: dict[str, str], match: str) -> None:
    """One alone, too little to settle an arm, and pairs that no arm has: said with a way out."""
    with pytest.raises(InputError, match=match):
        said(**texts)


def test_the_error_figures_of_sharp_statements_are_those_of_solve() -> None:
    """Statements good to a micrometre leave each figure of `solve` its value and next to no doubt.

    So the uncertainties and intervals are of the very figures that stand beside them.
    """
    truth = align(Deck(pivot_to_spindle_mm=222.0, null_radii_mm=(64.0, 119.0)))
    found = said(
        pivot_to_spindle="222±0.000001",
        overhang=f"{truth.arm.overhang_mm:.9f}±0.000001",
        offset_angle=f"{truth.arm.offset_angle_deg:.9f}±0.000001",
    )
    given = truth.as_dict()
    for key in given:
        if key.endswith(("_mm", "_deg", "_percent")) and key in settled(found).intervals:
            for value, (low, high), u in zip(
                np.ravel(given[key]),
                np.reshape(settled(found).intervals[key], (-1, 2)),
                np.ravel(settled(found).uncertainty[key]),
                strict=True,
            ):
                assert low == pytest.approx(value, rel=1e-5), key
                assert high == pytest.approx(value, rel=1e-5), key
                assert 0 < u < 1e-5 * value, key


@pytest.mark.parametrize("wrong", ["16.0", "18.6"])
def test_contradictions_widen_every_bound_alike(wrong: str) -> None:
    """Statements that contradict give arms about the best fit, spread by the widened bounds.

    One length stated by three: each bound of 0.05 mm grows by the factor, and its errors are even.
    """
    found = fit_statements(
        [
            read_statement("pivot-to-spindle", "222.0"),
            read_statement("effective-length", "239.3"),
            read_statement("overhang", wrong),
            read_statement("offset-angle", "23.0"),
        ]
    )
    factor, _ = found.conflict()
    arms = found.draws(seed=3, count=20_000)
    centre = found.theta[:2]
    # least squares of three equal statements of d, L and L - d: the variance of d is 2/3 of one's
    deviation = factor * 0.05 / math.sqrt(3) * math.sqrt(2 / 3)
    assert arms[:2].mean(axis=1) == pytest.approx(centre, abs=4 * deviation / math.sqrt(20_000))
    assert np.std(arms[:2], axis=1) == pytest.approx([deviation] * 2, rel=0.02)


def test_checks_that_side_with_two_are_no_proof() -> None:
    """Any of three left out makes the rest agree; offset and linear offset make one likelier.

    94.9 mm over the sine of 23.0 degrees is 242.9 mm, and pivot to spindle with overhang 243.0.
    """
    found = said(
        pivot_to_spindle="225.0",
        effective_length="243.5",
        overhang="18.0",
        offset_angle="23.0",
        linear_offset="94.9",
    )
    assert set(found.candidates) == {"pivot-to-spindle", "effective-length", "overhang"}
    assert found.candidates[0] == "effective-length"
    assert found.suspect is None
