"""One answer to one question about cartridge, arm and phono stage."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal

from protractor.chain.interval import Interval, rounded
from protractor.errors import named

Verdict = Literal["fits", "fits with a change", "does not fit", "cannot tell"]

SUBJECTS = {
    "level": "Level",
    "load": "Load",
    "balance": "Balance",
    "resonance": "Resonance",
    "side": "Along the side",
}
"""What answers are about, in the order of the chain, each with its heading."""

COMMON_PRACTICE = "common practice"
OUR_CHOICE = "a choice of this project"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A question, what it comes to, and what to do about it.

    `subject` is one of `SUBJECTS`. `value` is in `unit`, None when there is no number. `verdict` is
    None where nothing is judged. `change` says what to change or to measure, `reason` why in a
    sentence, `source` where the rule comes from. `at` names the input of the stage that the answer
    is about, and `wanted` the declared inputs that the answer lacks.
    """

    subject: str
    name: str
    value: Interval | None = None
    unit: str = ""
    verdict: Verdict | None = None
    change: str = ""
    reason: str
    source: str
    at: str = ""
    wanted: tuple[str, ...] = ()

    @property
    def value_text(self) -> str:
        """The nominal value at the digits that mean something, empty without a number."""
        return rounded(self.value.nominal, self.value.decimals) if self.value else ""

    @property
    def interval_text(self) -> str:
        """The interval at the same digits, empty for a value without doubt."""
        span = self.value.text(self.value.decimals) if self.value else ""
        return span if " to " in span else ""

    @property
    def is_open(self) -> bool:
        """Whether there is no answer for want of what it takes."""
        return bool(self.wanted) and self.value is None

    def as_dict(self) -> dict[str, Any]:
        """The answer under stable keys, at full precision; `value` is None without a number."""
        return {**asdict(self), "change": named(self.change), "wanted": list(self.wanted)}


def missing(subject: str, name: str, *wanted: str, at: str = "") -> Answer:
    """The answer that cannot be given before the `wanted` inputs are."""
    return Answer(
        subject=subject,
        name=name,
        verdict="cannot tell",
        change=f"Give {_list(tuple(f'`{name}`' for name in wanted))}.",
        reason="The figure rests on what is not given.",
        source="what the formula needs",
        at=at,
        wanted=wanted,
    )


def judged(value: Interval, low: float, high: float) -> Verdict:
    """`fits` when the whole interval is inside, `does not fit` when none of it is.

    Between the two there is no telling: the interval crosses an edge.

    >>> judged(Interval(nominal=9.7, low=7.8, high=12.1), 8.0, 12.0)
    'cannot tell'
    """
    if low <= value.low and value.high <= high:
        return "fits"
    if value.high < low or high < value.low:
        return "does not fit"
    return "cannot tell"


def _list(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
