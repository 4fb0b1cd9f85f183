"""Words and numbers as people write them: taken, or asked about by the right name and unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protractor.alignments.deck import Deck
from protractor.arms import inputs
from protractor.arms.records import RECORDS_ALSO_CALLED, UNCLEAR_RECORDS, record
from protractor.arms.schemes import SCHEMES_ALSO_CALLED, UNCLEAR_SCHEMES
from protractor.chain.cartridge import Cartridge
from protractor.errors import InputError
from protractor.inputs.declaration import Input, inputs_of
from protractor.inputs.quantities import LENGTH_UNITS_MM, folded
from protractor.printing.inputs import PAPER


def refusal(asked: Input, value: object) -> str:
    """What is said of a value that is not taken."""
    with pytest.raises(InputError) as caught:
        asked.take(value)
    return str(caught.value)


@pytest.mark.parametrize(
    ("asked", "written", "meant"),
    [
        *(
            (inputs.SCHEME, written, meant)
            for written, meant in (
                ("baerwald", "lofgren-a"),
                ("Baerwald", "lofgren-a"),
                ("Löfgren A", "lofgren-a"),
                ("löfgren-b", "lofgren-b"),
                ("Lo\u0308fgren-B", "lofgren-b"),  # as a Mac writes file names
                ("loefgren-a", "lofgren-a"),
                ("LOFGREN_C", "lofgren-c"),
                ("lofgrenb", "lofgren-b"),
                ("A", "lofgren-a"),
                ("equal angle", "equal-angle"),
                ("null points", "null-radii"),
            )
        ),
        *(
            (inputs.RECORD, written, meant)
            for written, meant in (
                ("IEC", "12-iec-1958"),
                ("riaa", "12-riaa-1963"),
                ('12"', "12"),
                ("12″", "12"),
                ("12''", "12"),
                ("12 inch", "12"),
                ("12-inch", "12"),
                ("LP", "12"),
                ("30 cm", "12"),
                ("10in", "10"),
                ("7in", "7"),
                ("single", "7"),
                ("12 IEC 1958", "12-iec-1958"),
            )
        ),
        (PAPER, "A4", "a4"),
        (PAPER, "US Letter", "letter"),
        (PAPER, "Ledger", "tabloid"),
        (PAPER, "DIN A4", "a4"),
    ],
)
def test_names_of_the_trade_are_taken(asked: Input, written: str, meant: str) -> None:
    """Accents, hyphens, blanks and capitals do not matter; the value is our name."""
    assert asked.take(written) == meant


def test_the_nulls_that_the_names_stand_for() -> None:
    """'IEC' is 60.325 and 146.05 mm, RIAA too; Baerwald's nulls are those of Löfgren A.

    The radii: IEC 98:1958 and RIAA 1963; null radii 66.0 and 120.9 mm: common practice.
    """
    for name in ("IEC", "RIAA"):
        side = record(Deck(record=name).record)
        assert (side.inner_radius_mm, side.outer_radius_mm) == (60.325, 146.05)
    assert Deck(scheme="baerwald") == Deck(scheme="lofgren-a")


@pytest.mark.parametrize(
    ("asked", "written", "said"),
    [
        (inputs.RECORD, "DIN", "write 12-din-trade for the radii that the trade calls DIN"),
        (inputs.RECORD, "JIS", "write 12-jis-1973, 10-jis-1973 or 7-jis-1973"),
        (inputs.RECORD, "45", "that is a speed: write 7, or 12 with `rpm` 45"),
        (inputs.RECORD, "12-iec", "did you mean 12-iec-1958?"),
        (inputs.SCHEME, "Löfgren", "write lofgren-a, lofgren-b or lofgren-c"),
        (inputs.SCHEME, "B", "write lofgren-b, or lofgren-a for Baerwald"),
        (inputs.SCHEME, "IEC", "that names a record: write `record` 12-iec-1958"),
        (inputs.SCHEME, "bearwald", "did you mean baerwald?"),
        (inputs.PLAY, "DIN:50", "write 12-din-trade for the radii that the trade calls DIN"),
    ],
)
def test_names_of_several_things_are_asked_about(asked: Input, written: str, said: str) -> None:
    """Where a name may mean several, the answer names them all."""
    assert said.replace("`", "") in refusal(asked, written)


def test_every_other_name_leads_to_a_name_of_ours() -> None:
    """No name of the trade is taken and asked about, and each leads to what is taken."""
    for asked, means, unclear in (
        (inputs.SCHEME, SCHEMES_ALSO_CALLED, UNCLEAR_SCHEMES),
        (inputs.RECORD, RECORDS_ALSO_CALLED, UNCLEAR_RECORDS),
    ):
        assert set(means.values()) <= {*asked.also, *asked.choices}
        ours = {folded(word) for word in (*asked.also, *asked.choices)}
        others = [folded(name) for name in (*means, *unclear)]
        assert len(ours | set(others)) == len(ours) + len(others)


def test_a_record_by_its_name_can_be_played() -> None:
    """What `record` takes, `play` takes before the colon."""
    (side, share), (single, _) = inputs.PLAY.take("LP:80;7in:20")
    assert (side.name, share, single.name) == ("12-iec-1958", 0.8, "7-jis-1973")


OVERHANG = inputs.OVERHANG
INDUCTANCE = inputs_of(Cartridge)["inductance_mh"]


@pytest.mark.parametrize(
    ("asked", "written", "said"),
    [
        (inputs.PIVOT_TO_SPINDLE, "22.2", "write 22.2cm if you mean centimetres"),
        (inputs.PIVOT_TO_SPINDLE, "22,2", "write 22.2cm if you mean centimetres"),
        (inputs.PIVOT_TO_SPINDLE, "8.74", "write 8.74in if you mean inches"),
        (inputs.PIVOT_TO_SPINDLE, "8 3/4", "write 8.75in if you mean inches"),
        (inputs.PIVOT_TO_SPINDLE, "0.222", "write 0.222m if you mean metres"),
        (inputs.PIVOT_TO_SPINDLE, "222cm", "write 222mm if you mean millimetres"),
        (inputs.PIVOT_TO_SPINDLE, "15", "write 15cm or 15in if you mean centimetres or inches"),
        (inputs.PIVOT_TO_SPINDLE, 22.2, 'write "22.2cm" if you mean centimetres'),
        (inputs.EFFECTIVE_LENGTH, "23.9", "write 23.9cm if you mean centimetres"),
        (inputs.EFFECTIVE_LENGTH, "9.41", "write 9.41in if you mean inches"),
        (OVERHANG, "17.3cm", "write 17.3mm if you mean millimetres"),
        (inputs.NULL_RADII, ("2.6", "12.09"), "write 2.6in if you mean inches"),
        (inputs.INNER_RADIUS, "292", "not its diameter"),
        (inputs.PIVOT_TO_SPINDLE, "222000", "measure centre to centre"),
        (inputs.PIVOT_TO_SPINDLE, "0", "measure centre to centre"),
        (inputs.PIVOT_TO_SPINDLE, "-22.2", "measure centre to centre"),
        (INDUCTANCE, "5000", "write 5000µH if you mean µH"),
        (OVERHANG, "173", "give how far the stylus passes"),
    ],
)
def test_a_number_that_fits_another_unit(asked: Input, written: object, said: str) -> None:
    """It is asked about by that unit; where none fits, the remedy is the input's own.

    A number that was given as one, as in a file, is shown with the quotes that its unit needs.
    """
    assert said in refusal(asked, written)


def test_a_number_in_range_is_not_asked_about() -> None:
    """1.73 mm of overhang may be meant: it is taken, as is 0."""
    assert (OVERHANG.take("1.73"), OVERHANG.take("0")) == (1.73, 0.0)


@given(st.floats(120.5, 499.5), st.sampled_from(["cm", "in", "m"]))
def test_what_is_asked_about_is_taken(value_mm: float, unit: str) -> None:
    """What the remedy says to write is read as the length that was meant."""
    number = f"{value_mm / LENGTH_UNITS_MM[unit]:.4f}"
    if float(number) >= 120:
        return  # too large for a slip of units
    said = refusal(inputs.PIVOT_TO_SPINDLE, number)
    written = f"{float(number):.12g}{unit}"
    assert written in said
    assert inputs.PIVOT_TO_SPINDLE.read(written) == pytest.approx(value_mm, abs=0.1)
