"""What the file of a sheet is called, when nobody names it."""

from __future__ import annotations

from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms.schemes import OWN_NULLS
from protractor.files import file_stem


def stem_of(deck: Deck, *parts: str) -> str:
    """A file's stem: the title, the given pieces, what turns the grids, the last piece, printer.

    >>> stem_of(Deck(name="Bench deck", zenith_deg=1.5), "two-null", "lofgren-a", "a4")
    'bench-deck_two-null_lofgren-a_zenith+1.5deg_a4'
    """
    *before, last = parts
    turned = f"zenith{deck.zenith_deg:+.6g}deg" if deck.zenith_deg else ""
    printer = f"for-{file_stem(deck.printer)}" if deck.printer else ""
    pieces = file_stem(deck.name), *before, turned, last, printer
    return "_".join(piece for piece in pieces if piece)


def alignment_stem(deck: Deck, alignment: Alignment, last: str) -> str:
    """A file's stem that says deck, kind of arm, scheme and, last, paper or kind of sheet."""
    length = f"d{alignment.arm.pivot_to_spindle_mm:.6g}mm"
    kind = "" if alignment.arm.null_radii_mm[0] > 0 else "straight"
    return stem_of(deck, length, kind, scheme_stem(alignment), last)


def scheme_stem(alignment: Alignment) -> str:
    """An alignment's scheme as a piece of a file name."""
    if alignment.scheme == OWN_NULLS:
        return nulls_stem(alignment.arm.null_radii_mm)
    return alignment.scheme + ("-exact" if alignment.terms is not None else "")


def nulls_stem(nulls_mm: tuple[float, float]) -> str:
    """The user's own null radii [mm] as a piece of a file name."""
    return f"nulls-{nulls_mm[0]:.6g}-{nulls_mm[1]:.6g}"
