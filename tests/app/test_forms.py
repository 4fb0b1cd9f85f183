"""Forms of declared inputs: what is typed is read as by a command, errors by their field."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from werkzeug.datastructures import MultiDict

from protractor.alignments.deck import Deck
from protractor.app.forms import Form, label_of, option_words
from protractor.inputs.declaration import Input, declared, inputs_of, take_all
from protractor.setup.inputs import Seen

WEIGHT = Input(
    name="arm-weight", kind="number", unit="g", low=0.0, high=50.0, help="What the arm weighs."
)


@dataclass(frozen=True, kw_only=True)
class Planted:
    """A value with an input that nobody knew before."""

    arm_weight_g: float | None = declared(WEIGHT)

    def __post_init__(self) -> None:
        take_all(self)


def asked(kind: type, **typed: Any) -> Form:
    """The form of a kind that was filled in."""
    query: MultiDict[str, str] = MultiDict()
    for name, value in typed.items():
        for text in value if isinstance(value, tuple) else (value,):
            query.add(name.replace("_", "-"), text)
    return Form.of(kind, (), query)


def test_a_new_input_appears_by_its_declaration() -> None:
    """Label, unit, range and help of a planted input come from its declaration alone."""
    field = asked(Planted, arm_weight="12")["arm-weight"]
    assert (field.label, field.hint) == ("Arm weight", "0 to 50 g")
    assert field.help == "What the arm weighs."
    assert asked(Planted, arm_weight="12").values == {"arm_weight_g": 12.0}


@pytest.mark.parametrize("kind", [Deck, Seen])
def test_every_input_has_a_label_and_a_help(kind: type) -> None:
    """No field of the catalogue comes without words, and no name of an input is left in them."""
    for field in asked(kind).fields.values():
        assert field.label[0].isupper()
        assert "-" not in field.label
        assert "`" not in field.help
        assert field.help


def test_a_zero_counts() -> None:
    """Marks that show nothing are a reading; a box that is not ticked is none."""
    assert asked(Seen, overhang_mark="0").values == {"overhang_mark_mm": 0.0}
    assert asked(Deck, zenith="0", exact="no").values == {"zenith_deg": 0.0}


def test_empty_fields_say_nothing() -> None:
    """What was left empty is not given, and blanks are left empty."""
    form = asked(Deck, pivot_to_spindle="  ", scheme="")
    assert form.empty
    assert form.ok
    assert form.values == {}


def test_every_error_stands_beside_its_field() -> None:
    """Three mistakes are said at three fields, in the words of the command."""
    form = asked(Deck, pivot_to_spindle="22.2", scheme="DIN", null_radii="63")
    assert [error.name for error in form.errors] == ["pivot-to-spindle", "scheme", "null-radii"]
    assert "22.2cm" in form["pivot-to-spindle"].complaint
    assert form.asks(lambda: Deck(**form.values)) is None


def test_an_error_of_the_whole_finds_its_field() -> None:
    """What cannot go together is said at the field that the error names, else above all."""
    form = asked(Seen, overhang_mark="1", overhang="17", reading="66.0:1")
    assert form.asks(lambda: Seen(**form.values)) is None
    assert "overhang" in form["overhang-mark"].complaint
    assert form.others == []


def test_pairs_and_lists() -> None:
    """A pair may be one text or two, a list one text or several."""
    for typed in ("63 and 119", "63 119", ("63", "119")):
        assert asked(Deck, null_radii=typed).values == {"null_radii_mm": (63.0, 119.0)}
    for readings in ("66.0:1; 120.9:-2", ("66.0:1", "120.9:-2")):
        assert asked(Seen, reading=readings).values == {"reading": ((66.0, 1.0), (120.9, -2.0))}


@given(
    length=st.floats(120, 500).map(lambda value: f"{value:.3f}"),
    scheme=st.sampled_from(["", "lofgren-b", "Baerwald", "stevenson"]),
    nulls=st.sampled_from([(), ("58 and 119",), ("63", "120.9")]),
    exact=st.booleans(),
)
def test_the_options_say_what_was_typed(
    length: str, scheme: str, nulls: tuple[str, ...], exact: bool
) -> None:
    """The words of the command, read as a command reads them, give the values of the form."""
    typed = {"pivot_to_spindle": length, "scheme": scheme, "null_radii": nulls}
    form = asked(Deck, **typed, **({"exact": "yes"} if exact else {}))
    words = shlex.split(" ".join(form.words()))
    known = {asked.name: (name, asked) for name, asked in inputs_of(Deck).items()}
    found: dict[str, Any] = {}
    while words:
        attribute, asked_input = known[words.pop(0).removeprefix("--")]
        if asked_input.kind == "flag":
            found[attribute] = True
            continue
        values = [words.pop(0) for _ in range(asked_input.count)]
        found[attribute] = asked_input.take(values if asked_input.count > 1 else values[0])
    assert found == form.values


def test_labels() -> None:
    """Names of inputs become words."""
    assert label_of("pivot-to-spindle") == "Pivot to spindle"
    assert list(option_words(WEIGHT, ("12 g",))) == ['--arm-weight "12 g"']
