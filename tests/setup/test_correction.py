"""From readings to moves: the inverse of the forward model, its certainty, and its complaints."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor import Deck, Seen, align, correct
from protractor.arms.arm import Arm
from protractor.arms.records import record
from protractor.errors import InputError
from protractor.setup.bounds import bound_as_read
from protractor.setup.correction import Reading, correct_arm, estimate_setting
from protractor.setup.estimate import COVERAGE
from protractor.setup.headshell import slid_and_turned, slide_and_turn
from tests.benchmarks.novice import WAYS, Novice
from tests.benchmarks.rounds_of_correct import CASES, plays
from tests.tries import tries

NULLS = (66.0, 120.9)
TARGET = Arm.through_nulls(NULLS, pivot_to_spindle_mm=222.0)


def seen_from_above(arm: Arm, radius: float) -> float:
    """The fan's reading by vectors alone [deg]: the angle from groove to cartridge, clockwise."""
    d, length, beta = arm.pivot_to_spindle_mm, arm.effective_length_mm, arm.offset_angle_rad
    spindle_angle = math.acos((radius**2 + d**2 - length**2) / (2 * radius * d))
    stylus = radius * np.array([math.sin(spindle_angle), math.cos(spindle_angle)])
    along_arm = (stylus - np.array([0.0, d])) / length
    turned = np.array([[math.cos(beta), math.sin(beta)], [-math.sin(beta), math.cos(beta)]])
    cartridge = turned @ along_arm
    groove = np.array([stylus[1], -stylus[0]]) / radius  # the way a clockwise record moves
    cross = groove[0] * cartridge[1] - groove[1] * cartridge[0]
    return -math.degrees(math.atan2(cross, float(groove @ cartridge)))


def misaligned(rng: np.random.Generator, target: Arm = TARGET) -> Arm:
    """An arm a few millimetres and degrees off the target."""
    return Arm(
        pivot_to_spindle_mm=target.pivot_to_spindle_mm,
        effective_length_mm=target.effective_length_mm + rng.uniform(-3, 3),
        offset_angle_rad=target.offset_angle_rad + math.radians(rng.uniform(-1, 1)),
    )


FINE_DEG = 0.25
"""The bound of the readings here: rounded to half a degree, and wrong by nothing else."""


def readings_of(arm: Arm, errors_deg: tuple[float, float] = (0.0, 0.0)) -> list[Reading]:
    """Both readings of an arm, with errors added."""
    return [
        Reading(radius_mm=r, angle_deg=seen_from_above(arm, r) + e, bound_deg=FINE_DEG)
        for r, e in zip(NULLS, errors_deg, strict=True)
    ]


def test_a_cartridge_turned_clockwise_reads_positive() -> None:
    """A larger offset angle, that is a cartridge turned clockwise, gives a positive reading."""
    turned = Arm(
        pivot_to_spindle_mm=222.0,
        effective_length_mm=TARGET.effective_length_mm,
        offset_angle_rad=TARGET.offset_angle_rad + math.radians(1.0),
    )
    assert seen_from_above(turned, 66.0) == pytest.approx(1.0, abs=1e-9)
    assert math.degrees(turned.tracking_error(66.0)) == pytest.approx(-1.0, abs=1e-9)


def test_two_readings_give_the_arm_back() -> None:
    """2,000 random decks and misalignments are found to 1e-9 mm and 1e-9 degrees."""
    rng = np.random.default_rng(1)
    worst_mm = worst_deg = 0.0
    for _ in range(2000):
        target = Arm.through_nulls(NULLS, pivot_to_spindle_mm=rng.uniform(190, 400))
        arm = misaligned(rng, target)
        now = estimate_setting(readings_of(arm), target).arm
        worst_mm = max(worst_mm, abs(now.effective_length_mm - arm.effective_length_mm))
        worst_deg = max(worst_deg, abs(now.offset_angle_deg - arm.offset_angle_deg))
    assert worst_mm < 1e-9
    assert worst_deg < 1e-9


def test_the_moves_lead_to_the_target() -> None:
    """Sliding and turning by what `correct` says, as vectors, gives the target to 1e-9."""
    rng = np.random.default_rng(2)
    for turn_about, point in (("stylus", 0.0), ("screws", 9.5)):
        for _ in range(50):
            arm = misaligned(rng)
            slot = math.radians(rng.uniform(15, 30))
            found = correct_arm(
                readings_of(arm), TARGET, slot_angle_rad=slot, turn_about=turn_about
            )
            after = headshell(
                arm, found.slide_mm, math.radians(found.turn_deg), slot, turning_point=point
            )
            assert after.effective_length_mm == pytest.approx(TARGET.effective_length_mm, abs=1e-8)
            assert after.offset_angle_deg == pytest.approx(TARGET.offset_angle_deg, abs=1e-8)


def headshell(arm: Arm, slide: float, turn: float, slot: float, turning_point: float = 0.0) -> Arm:
    """A headshell simulated with vectors: pivot in the origin, stylus on the x axis, y outward."""

    def clockwise(angle: float) -> np.ndarray:
        return np.array([math.cos(angle), -math.sin(angle)])

    beta = arm.offset_angle_rad
    screws = np.array([arm.effective_length_mm, 0.0]) - turning_point * clockwise(beta)
    screws = screws + slide * clockwise(slot)
    stylus = screws + turning_point * clockwise(beta + turn)
    line = -math.atan2(stylus[1], stylus[0])
    return Arm(
        pivot_to_spindle_mm=arm.pivot_to_spindle_mm,
        effective_length_mm=float(np.hypot(*stylus)),
        offset_angle_rad=beta + turn - line,
    )


def test_two_rounds_are_enough() -> None:
    """Half-degree readings, slots 2 degrees off, hands that slip: within the bound in two rounds.

    The residual is within the reading's own bound and what the hand adds in the last round.
    """
    rng = np.random.default_rng(3)
    slip_mm, slip_deg = 0.1, 0.1
    # a millimetre of slide moves the inner reading by up to 0.9 degrees; slots that are 2 degrees
    # off spoil a second slide of at most 1.5 mm by 0.02 mm
    hand = 0.9 * slip_mm + slip_deg + 0.9 * 0.02
    for _ in range(100):
        arm = misaligned(rng)
        true_slot = arm.offset_angle_rad + math.radians(rng.uniform(-2, 2))
        for _round in range(2):
            readings = [
                Reading(
                    radius_mm=r,
                    angle_deg=round(2 * seen_from_above(arm, r)) / 2,
                    bound_deg=FINE_DEG,
                )
                for r in NULLS
            ]
            found = correct_arm(readings, TARGET)
            if found.verdict == "matches":
                break
            arm = headshell(
                arm,
                found.slide_mm + rng.uniform(-slip_mm, slip_mm),
                math.radians(found.turn_deg + rng.uniform(-slip_deg, slip_deg)),
                true_slot,
            )
        assert all(abs(seen_from_above(arm, r)) < 0.25 + hand for r in NULLS)


def test_without_slips_the_second_round_leaves_only_the_reading_error() -> None:
    """With a hand that does not slip the residual after two rounds is the reading's bound."""
    rng = np.random.default_rng(4)
    for _ in range(100):
        arm = misaligned(rng)
        for turn_about, point in (("stylus", 0.0), ("screws", 9.5)):
            after = arm
            for _round in range(2):
                errors = rng.uniform(-0.25, 0.25, 2)
                found = correct_arm(
                    readings_of(after, tuple(errors)), TARGET, turn_about=turn_about
                )
                after = headshell(
                    after,
                    found.slide_mm,
                    math.radians(found.turn_deg),
                    TARGET.offset_angle_rad,
                    turning_point=point,
                )
            left = [abs(seen_from_above(after, r)) for r in NULLS]
            assert max(left) <= 0.25 + 5e-3  # second order: reading error times slide over length


def test_stated_intervals_hold_the_truth_at_their_rate() -> None:
    """Over noisy set-ups the 95 % intervals hold the truth at 95 %, within 3 sigma."""
    rng = np.random.default_rng(5)
    runs = tries(500)
    hits = np.zeros(4)
    for _ in range(runs):
        arm = misaligned(rng)
        true_d = 222.0 + rng.uniform(-0.5, 0.5)
        truth = Arm(
            pivot_to_spindle_mm=true_d,
            effective_length_mm=arm.effective_length_mm,
            offset_angle_rad=arm.offset_angle_rad,
        )
        found = correct_arm(
            readings_of(truth, tuple(rng.uniform(-0.25, 0.25, 2))),
            TARGET,
            overhang_mm=truth.overhang_mm + rng.uniform(-0.25, 0.25),
            overhang_bound_mm=0.25,
        )
        wanted = Arm.through_nulls(NULLS, pivot_to_spindle_mm=true_d)
        slide, turn = slide_and_turn(
            truth.effective_length_mm,
            truth.offset_angle_rad,
            wanted.effective_length_mm,
            wanted.offset_angle_rad,
            slot_angle_rad=TARGET.offset_angle_rad,
        )
        for i, ((low, high), value) in enumerate(
            (
                (found.overhang_interval_mm, truth.overhang_mm),
                (found.offset_angle_interval_deg, truth.offset_angle_deg),
                (found.slide_interval_mm, float(slide)),
                (found.turn_interval_deg, math.degrees(turn)),
            )
        ):
            hits[i] += low <= value <= high
    slack = 3 * math.sqrt(COVERAGE * (1 - COVERAGE) / runs)
    assert np.all(np.abs(hits / runs - COVERAGE) < slack), hits / runs


def test_overhang_narrows_the_slide() -> None:
    """Reading the overhang scale too makes the slide's interval narrower."""
    readings = readings_of(TARGET, (0.4, 0.2))
    wide = correct_arm(readings, TARGET).slide_interval_mm
    narrow = correct_arm(
        readings, TARGET, overhang_mm=TARGET.overhang_mm, overhang_bound_mm=0.25
    ).slide_interval_mm
    assert narrow[1] - narrow[0] < 0.5 * (wide[1] - wide[0])


def test_verdicts() -> None:
    """Each verdict where the readings bear it: a move only when it is nearly sure to gain."""

    def asked(*pairs: tuple[float, float], bound: float = 0.25) -> str:
        readings = [
            Reading(radius_mm=r, angle_deg=angle, bound_deg=bound)
            for pair in pairs
            for r, angle in zip(NULLS, pair, strict=True)
        ]
        return correct_arm(readings, TARGET).verdict

    assert asked((0.0, 0.0)) == "matches"
    assert asked((0.3, 0.2)) == "costs-little"
    assert asked((0.5, 0.5)) == "read-again"
    assert asked((0.5, 0.5), (0.5, 0.5), (0.5, 0.5)) == "no-gain"
    assert asked((0.25, -0.5), (0.25, -0.5), (0.25, -0.5)) == "no-gain"
    assert asked((1.0, 0.5)) == "move"
    assert asked((1.0, 0.5), bound=0.75) == "read-again"


def test_a_reading_of_exactly_its_bound_agrees() -> None:
    """Half a degree with a bound of half a degree matches, whichever side the rounding falls."""
    for radius in (66.0, 65.998, 66.02):
        readings = [
            Reading(radius_mm=r, angle_deg=a, bound_deg=0.5)
            for _ in range(3)
            for r, a in ((radius, 0.5), (120.9, -0.5))
        ]
        assert correct_arm(readings, TARGET).verdict == "matches"


def test_readings_at_divisions_are_no_surer_than_their_rounding() -> None:
    """Whole and half degrees with a smaller bound count as ± 0.25, other readings as given."""
    assert bound_as_read([0.5, -1.0], 0.1) == 0.25
    assert bound_as_read([0.5, -0.9], 0.1) == 0.1
    assert bound_as_read([0.5, -1.0], 0.75) == 0.75


def test_the_fan_has_the_opposite_sign_of_the_tracking_error() -> None:
    """Equal in size: + on the fan is clockwise, a positive error asks for a clockwise turn."""
    arm = Arm(pivot_to_spindle_mm=222.0, effective_length_mm=238.0, offset_angle_rad=0.42)
    for radius in (61.0, 90.0, 140.0):
        error = math.degrees(float(arm.tracking_error(radius)))
        assert seen_from_above(arm, radius) == pytest.approx(-error, abs=1e-9)


def test_the_moves_of_the_outlook_are_those_of_a_headshell() -> None:
    """`slid_and_turned` agrees with a headshell of vectors, about stylus and screws."""
    for point in (0.0, 9.5):
        after = headshell(TARGET, 1.3, math.radians(-0.7), 0.38, turning_point=point)
        length, beta = slid_and_turned(
            TARGET.effective_length_mm,
            TARGET.offset_angle_rad,
            1.3,
            math.radians(-0.7),
            slot_angle_rad=0.38,
            turning_point_mm=point,
        )
        assert float(length) == pytest.approx(after.effective_length_mm, abs=1e-9)
        assert float(beta) == pytest.approx(after.offset_angle_rad, abs=1e-12)


def test_rounds_by_simulation() -> None:
    """30 set-ups by vectors of their own: few rounds, none worse than it began."""
    for case in (CASES[0], CASES[3]):
        ends = [plays(np.random.default_rng([11, i]), case, False) for i in range(15)]
        assert sum(end.rounds > 3 for end in ends) <= 1
        assert not any(end.ended > end.began for end in ends)
        assert float(np.median([end.ended for end in ends])) < 0.85


def test_the_novice_in_small() -> None:
    """Eight whole jobs with a calibrated printer and a known stylus end near the scheme's peak."""
    ends = [Novice(np.random.default_rng([3, i]), WAYS[3], 0.75).plays() for i in range(8)]
    assert all(end.rounds <= 3 for end in ends)
    assert float(np.median([end.ended for end in ends])) < 1.5 * 0.62 < max(e.began for e in ends)


def test_a_skewed_stylus_is_counted() -> None:
    """A body that reads 1 degree clockwise with a stylus 1 degree the other way is right."""
    found = correct_arm(readings_of(TARGET, (1.0, 1.0)), TARGET, zenith_rad=math.radians(-1.0))
    assert found.leave_it
    assert found.turn_deg == pytest.approx(0.0, abs=1e-9)


@given(
    slide=st.floats(-8, 8), turn=st.floats(-4, 4), beta=st.floats(-5, 30), point=st.floats(0, 12)
)
def test_slide_and_turn_finds_the_moves(
    slide: float, turn: float, beta: float, point: float
) -> None:
    """From any setting, `slide_and_turn` finds the moves that a headshell made."""
    arm = Arm(
        pivot_to_spindle_mm=222.0,
        effective_length_mm=239.0,
        offset_angle_rad=math.radians(beta),
    )
    slot = math.radians(20.0)
    after = headshell(arm, slide, math.radians(turn), slot, turning_point=point)
    found = slide_and_turn(
        arm.effective_length_mm,
        arm.offset_angle_rad,
        after.effective_length_mm,
        after.offset_angle_rad,
        slot_angle_rad=slot,
        turning_point_mm=point,
    )
    assert float(found[0]) == pytest.approx(slide, abs=1e-9)
    assert math.degrees(found[1]) == pytest.approx(turn, abs=1e-9)


def test_a_slide_along_the_cartridge_keeps_the_linear_offset() -> None:
    """Slots at the offset angle: length and angle change, the linear offset does not."""
    after = headshell(TARGET, slide=3.0, turn=0.0, slot=TARGET.offset_angle_rad)
    assert after.linear_offset_mm == pytest.approx(TARGET.linear_offset_mm, abs=1e-12)
    assert after.offset_angle_deg < TARGET.offset_angle_deg - 0.2


def test_an_underhung_arm_is_set_by_its_length() -> None:
    """A straight arm read at its one null and elsewhere is slid to its underhang."""
    target = Arm(pivot_to_spindle_mm=240.0, effective_length_mm=224.0, offset_angle_rad=0.0)
    now = Arm(pivot_to_spindle_mm=240.0, effective_length_mm=223.0, offset_angle_rad=0.0)
    radii = target.null_radii_mm[1], 98.0
    readings = [
        Reading(radius_mm=r, angle_deg=seen_from_above(now, r), bound_deg=0.1) for r in radii
    ]
    found = correct_arm(readings, target)
    assert found.slide_mm == pytest.approx(1.0, abs=1e-9)
    assert found.turn_deg == pytest.approx(0.0, abs=1e-9)


def test_sides_mixed_up_are_named() -> None:
    """Readings noted with the wrong sign contradict the overhang, and the remedy says how."""
    arm = Arm(
        pivot_to_spindle_mm=222.0,
        effective_length_mm=TARGET.effective_length_mm - 3.0,
        offset_angle_rad=TARGET.offset_angle_rad,
    )
    wrong = [replace(r, angle_deg=-r.angle_deg) for r in readings_of(arm)]
    with pytest.raises(InputError, match=r"with the sides of the fan .*changed over"):
        correct_arm(wrong, TARGET, overhang_mm=arm.overhang_mm)


def test_radii_mixed_up_are_named() -> None:
    """Readings noted against the other target are recognised by the overhang."""
    arm = Arm(
        pivot_to_spindle_mm=222.0,
        effective_length_mm=TARGET.effective_length_mm - 2.0,
        offset_angle_rad=TARGET.offset_angle_rad - math.radians(1.0),
    )
    first, second = readings_of(arm)
    wrong = [
        replace(first, angle_deg=second.angle_deg),
        replace(second, angle_deg=first.angle_deg),
    ]
    with pytest.raises(InputError, match="readings of the targets changed over"):
        correct_arm(wrong, TARGET, overhang_mm=arm.overhang_mm)


def test_a_reading_beyond_the_fan_is_refused() -> None:
    """4.1 degrees cannot be read on a fan of 4."""
    with pytest.raises(InputError, match="what the fan can show"):
        Reading(radius_mm=66.0, angle_deg=4.1)


@pytest.mark.parametrize("radii", [(), (66.0,), (66.0, 68.0)])
def test_too_few_readings_are_refused(radii: tuple[float, ...]) -> None:
    """No reading, one, or two at nearly the same radius do not settle two unknowns."""
    with pytest.raises(InputError, match="two radii at least 5 mm apart"):
        correct_arm([Reading(radius_mm=r, angle_deg=0.5) for r in radii], TARGET)


def test_a_slide_longer_than_the_slots_is_refused() -> None:
    """The complaint says how long the slide is and which way it goes."""
    arm = Arm(
        pivot_to_spindle_mm=222.0,
        effective_length_mm=TARGET.effective_length_mm - 3.0,
        offset_angle_rad=TARGET.offset_angle_rad,
    )
    with pytest.raises(InputError, match=r"3\.\d mm to the front"):
        correct_arm(readings_of(arm), TARGET, slot_room_mm=(5.0, 2.0))


def test_short_slots_are_told_which_schemes_they_allow() -> None:
    """With the record known, the remedy names the schemes whose slide fits, with the slide."""
    arm = Arm.through_nulls((61.0, 117.5), pivot_to_spindle_mm=222.0)
    with pytest.raises(InputError, match=r"these slots would do for stevenson \(\+?-?\d\.\d mm\)$"):
        correct_arm(readings_of(arm), TARGET, slot_room_mm=(0.5, 0.5), record=record())


def test_a_slide_that_no_headshell_allows_is_refused() -> None:
    """Readings that ask for a slide over 15 mm are a mistake in reading."""
    with pytest.raises(InputError, match="slide of"):
        correct_arm(
            [Reading(radius_mm=66.0, angle_deg=4.0), Reading(radius_mm=120.9, angle_deg=-4.0)],
            TARGET,
        )


def test_a_high_pivot_makes_the_arm_longer_on_a_record() -> None:
    """On a record 1.8 mm above the sheet an arm with a pivot 20 mm up is longer, so slides less."""
    plain = correct_arm(readings_of(TARGET, (1.0, 0.5)), TARGET)
    high = correct_arm(readings_of(TARGET, (1.0, 0.5)), TARGET, pivot_height_mm=20.0, lift_mm=1.8)
    slope = math.hypot(plain.now.effective_length_mm, 20.0)
    on_record = math.sqrt(slope**2 - 18.2**2)
    assert high.now.effective_length_mm == pytest.approx(on_record, abs=1e-9)
    gained = on_record - plain.now.effective_length_mm
    assert plain.slide_mm - high.slide_mm == pytest.approx(
        gained / math.cos(TARGET.offset_angle_rad), abs=0.002
    )


def test_overhang_marks_count_from_the_target() -> None:
    """A mark of the sheet is the overhang less the target's; one of the two is given."""
    deck, read = Deck(pivot_to_spindle_mm=222.0), ("66:2.5", "120.9:1.5")
    measured = align(deck).arm.overhang_mm - 1.8
    by_mark = correct(deck, Seen(reading=read, overhang_mark_mm=-1.8))
    other = correct(deck, Seen(reading=read, overhang_mm=measured))
    assert (by_mark.slide_mm, by_mark.turn_deg) == (other.slide_mm, other.turn_deg)
    assert by_mark.slide_mm == pytest.approx(1.97, abs=0.05)
    with pytest.raises(InputError, match="overhang-mark: got overhang-mark and overhang"):
        Seen(reading=read, overhang_mark_mm=0.5, overhang_mm=17.0)
