"""Where the counterweight sits with another cartridge, and whether the tracking force is in range.

The arm is taken as a lever: cartridge, screws and headshell at the effective length, the
counterweight at its own distance, the rest of the arm unchanged. Balance is
(m - force) L + the arm's own moment = m_w x, the force in grams.
"""

from __future__ import annotations

from protractor.chain.answer import COMMON_PRACTICE, Answer, Verdict, judged, missing
from protractor.chain.cartridge import Cartridge
from protractor.chain.inputs import lacking
from protractor.chain.interval import Interval, spread
from protractor.chain.tonearm import Tonearm

MASS_DOUBT = 0.02
"""Kitchen scales and data sheets: a choice of this project."""

SEAT_DOUBT_MM = 1.0
"""A counterweight's middle is measured from the pivot no nearer (a choice of this project)."""

FORCE_DOUBT = 0.05
"""Scales for tracking force and the dial of an arm differ so much (from memory)."""

LEVER_SOURCE = "balance of moments about the pivot"
FORCE_CAUTION = (
    "Too little force makes the stylus jump and mistrack, which harms record and stylus; "
    "too much harms both as well."
)


def new_seat(
    seat_mm: float,
    length_mm: float,
    added_mass_g: float,
    added_force_g: float,
    counterweight_g: float,
) -> float:
    """Seat of the counterweight after a change at the headshell [mm from the pivot].

    Args:
        seat_mm: where it sits now [mm].
        length_mm: effective length [mm].
        added_mass_g: change of cartridge, screws and headshell [g].
        added_force_g: change of the tracking force [g].
        counterweight_g: its mass [g].

    x + L (change of mass - change of force) / m_w.

    >>> round(new_seat(40.0, 230.0, 4.0, 0.5, 100.0), 2)
    48.05
    """
    return seat_mm + length_mm * (added_mass_g - added_force_g) / counterweight_g


def added_effective_mass(
    added_mass_g: float, counterweight_g: float, old_mm: float, new_mm: float, length_mm: float
) -> float:
    """What the effective mass gains by a change at the headshell and by the counterweight [g].

    Args:
        added_mass_g: change of cartridge, screws and headshell [g].
        counterweight_g: mass of the counterweight [g].
        old_mm: its old seat [mm].
        new_mm: its new seat [mm].
        length_mm: effective length [mm].

    change of mass + m_w (x'² - x²) / L²; the counterweight's inertia about its own middle stays.

    >>> round(added_effective_mass(4.0, 100.0, 40.0, 48.05, 230.0), 2)
    5.34
    """
    moved = counterweight_g * (new_mm**2 - old_mm**2) / length_mm**2
    return added_mass_g + moved


def weight_to_add(seat_mm: float, farthest_mm: float, counterweight_g: float) -> float:
    """Mass to fix to a counterweight at its farthest seat when it ought to sit beyond [g].

    >>> round(weight_to_add(60.0, 50.0, 100.0), 1)
    20.0
    """
    return counterweight_g * (seat_mm / farthest_mm - 1)


def mass_change(cartridge: Cartridge, arm: Tonearm) -> float | None:
    """New cartridge and screws less the old ones [g]; screws not given are taken as the same.

    None without both cartridges' masses.
    """
    if cartridge.mass_g is None or arm.old_cartridge_g is None:
        return None
    change = cartridge.mass_g - arm.old_cartridge_g
    if arm.screws_g is not None and arm.old_screws_g is not None:
        change += arm.screws_g - arm.old_screws_g
    return change


def seat(cartridge: Cartridge, arm: Tonearm) -> Interval | None:
    """Where the counterweight will sit [mm]; None while a figure is missing."""
    added = mass_change(cartridge, arm)
    figures = arm.seat_mm, arm.length_mm, arm.counterweight_g, arm.force_g, arm.old_force_g
    if added is None or any(one is None for one in figures):
        return None
    x, length, weight, force, old_force = (one or 0.0 for one in figures)
    doubt = MASS_DOUBT * ((cartridge.mass_g or 0.0) + (arm.old_cartridge_g or 0.0))
    return spread(
        lambda at, mass, counter: new_seat(at, length, mass, force - old_force, counter),
        Interval(nominal=x, low=x - SEAT_DOUBT_MM, high=x + SEAT_DOUBT_MM),
        Interval(nominal=added, low=added - doubt, high=added + doubt),
        Interval.about(weight, MASS_DOUBT),
    )


def effective_mass_gain(cartridge: Cartridge, arm: Tonearm) -> float | None:
    """What the counterweight's move adds to the effective mass [g], the cartridge not counted."""
    found = seat(cartridge, arm)
    if found is None:
        return None
    x, length, weight = arm.seat_mm or 0.0, arm.length_mm or 1.0, arm.counterweight_g or 0.0
    if arm.seat_range_mm is None or found.nominal <= arm.seat_range_mm[1]:
        return added_effective_mass(0.0, weight, x, found.nominal, length)
    farthest = arm.seat_range_mm[1]
    heavier = weight + weight_to_add(found.nominal, farthest, weight)
    return (heavier * farthest**2 - weight * x**2) / length**2


def balance_answers(cartridge: Cartridge, arm: Tonearm) -> list[Answer]:
    """What there is to say about tracking force, counterweight and effective mass."""
    return [_force(cartridge, arm), *_counterweight(cartridge, arm)]


def _force(cartridge: Cartridge, arm: Tonearm) -> Answer:
    if arm.force_g is None or cartridge.force_g is None:
        wanted = lacking((arm, ("force_g",)), (cartridge, ("force_g",)))
        return missing("balance", "tracking-force", *wanted)
    low, high = cartridge.force_g
    value = Interval.about(arm.force_g, FORCE_DOUBT)
    inside = low <= arm.force_g <= high
    verdict: Verdict = "fits" if inside else "fits with a change"
    change = "" if inside else f"Set {low:g} to {high:g} g with a scale."
    reason = f"The maker asks for {low:g} to {high:g} g. {FORCE_CAUTION}"
    if inside and judged(value, low, high) != "fits":
        change = "Check it with a scale: it is at the edge of the range."
    if arm.force_g < low:
        reason = f"Below the maker's {low:g} g the stylus mistracks, which harms the record."
    elif arm.force_g > high:
        reason = f"Above the maker's {high:g} g stylus, suspension and record suffer."
    return Answer(
        subject="balance",
        name="tracking-force",
        value=value,
        unit="g",
        verdict=verdict,
        change=change,
        reason=reason,
        source=f"the maker's range; what force does: {COMMON_PRACTICE}",
    )


def _counterweight(cartridge: Cartridge, arm: Tonearm) -> list[Answer]:
    found = seat(cartridge, arm)
    if found is None:
        fields = "old_cartridge_g", "counterweight_g", "seat_mm", "length_mm", "force_g"
        wanted = lacking((cartridge, ("mass_g",)), (arm, (*fields, "old_force_g")))
        return [missing("balance", "counterweight", *wanted)]
    verdict, change, reach = _reach(found, arm)
    gain = effective_mass_gain(cartridge, arm) or 0.0
    moved = found.nominal - (arm.seat_mm or 0.0)
    return [
        Answer(
            subject="balance",
            name="counterweight",
            value=found,
            unit="mm",
            verdict=verdict,
            change=change,
            reason=(
                f"It is {arm.seat_mm:g} mm from the pivot now and moves {abs(moved):.1f} mm "
                f"{'away from' if moved > 0 else 'toward'} it{reach}."
            ),
            source=LEVER_SOURCE,
        ),
        Answer(
            subject="balance",
            name="effective-mass-change",
            value=Interval.exactly((mass_change(cartridge, arm) or 0.0) + gain),
            unit="g",
            reason=f"The counterweight accounts for {gain:+.1f} g of it.",
            source="mass times distance squared, over the effective length squared",
        ),
    ]


def _reach(found: Interval, arm: Tonearm) -> tuple[Verdict, str, str]:
    """Verdict, change and half a sentence about the counterweight's reach."""
    if arm.seat_range_mm is None:
        return "cannot tell", "Give `arm-counterweight-range`.", ""
    near, far = arm.seat_range_mm
    reach = f"; its travel is {near:g} to {far:g} mm"
    weight, length = arm.counterweight_g or 0.0, arm.length_mm or 1.0
    verdict = judged(found, near, far)
    if verdict == "cannot tell":
        return verdict, "Try it: it balances near an end of its travel.", reach
    if verdict == "fits":
        return verdict, "", reach
    if found.nominal > far:
        more = weight_to_add(found.nominal, far, weight)
        within = weight_to_add(found.nominal, (near + far) / 2, weight)
        change = (
            f"Add {more:.0f} g to the counterweight, centred on it, to balance at {far:g} mm; "
            f"with {within:.0f} g it sits in the middle of its travel."
        )
        return "fits with a change", change, reach
    more = (near - found.nominal) * weight / length
    change = f"Add {more:.1f} g at the headshell, or fit a lighter counterweight."
    return "fits with a change", change, reach
