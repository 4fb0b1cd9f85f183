"""Gauges: the plate, the kerf test piece, the arm board, and the commands that write them."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms.arm import Arm
from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM, record
from protractor.arms.schemes import SCHEMES
from protractor.drawing.extent import outline
from protractor.drawing.movement import flip
from protractor.drawing.shapes import Arc, Circle, Label, Line, Page
from protractor.errors import InputError
from protractor.printing.paper import PAPERS, Paper
from protractor.setup.correction import Reading, correct_arm
from protractor.setup.headshell import slide_and_turn
from protractor.sheets import kerf_piece
from protractor.sheets.arm_board import Mounting, board_page, pivot_ring
from protractor.sheets.kerf_piece import kerf_page
from protractor.sheets.plate import Cutting, plate_page
from tests.collisions import collisions
from tests.conftest import Ran

Run = Callable[..., Ran]
D = ("--pivot-to-spindle", "222")


def inner_cuts(page: Page) -> list[Circle]:
    """The round holes to be cut."""
    return [s for s in page.shapes if isinstance(s, Circle) and s.stroke.layer == "inner cut"]


@pytest.mark.parametrize("scheme", list(SCHEMES))
@pytest.mark.parametrize("side", ["12", "10", "7"])
@pytest.mark.parametrize("d", [150.0, 222.0, 340.0])
def test_nothing_collides_on_a_plate(d: float, side: str, scheme: str) -> None:
    """No word runs into a line or off the stock, from short arms to long ones, on every disc."""
    deck = align(Deck(pivot_to_spindle_mm=d, record=record(side), scheme=scheme))
    assert (
        collisions(plate_page(deck, Cutting(kerf_mm=0.2), "A deck with a fairly long name")) == []
    )
    big = Cutting(notch_mm=30.0, hole_mm=38.2)
    assert collisions(plate_page(deck, big)) == []


@pytest.mark.parametrize("gap", [16.5, 18.0, 25.0])
def test_names_of_close_targets_part(gap: float) -> None:
    """Targets that stand close together do not write into each other."""
    deck = align(
        Deck(pivot_to_spindle_mm=222.0, null_radii_mm=(63.0, 63.0 + gap), scheme="null-radii")
    )
    page = plate_page(deck)
    assert collisions(page) == []
    for radius in (63.0, 63.0 + gap):
        assert [s for s in page.shapes if isinstance(s, Label) and s.text == f"{radius:.2f}"]


@given(st.sampled_from([150.0, 222.0, 340.0]), st.sampled_from(["12", "10", "7"]))
@settings(max_examples=6, deadline=None)
def test_nothing_is_engraved_on_a_window(d: float, side: str) -> None:
    """No stroke and no letter lies where the stock is cut away."""
    page = plate_page(align(Deck(pivot_to_spindle_mm=d, record=record(side))))
    edges = [s for s in page.shapes if not isinstance(s, Label) and s.stroke.layer == "inner cut"]
    cuts = shapely.union_all([shapely.LineString(outline(s)).buffer(0.02) for s in edges])
    holes = shapely.union_all(
        [shapely.Polygon(ring) for cut in cuts.geoms for ring in cut.interiors]
    )
    assert holes.area > 300  # two windows and the hole at least
    for shape in page.shapes:
        if isinstance(shape, Label) or shape.stroke.layer == "engrave":
            assert not shapely.LineString(outline(shape)).intersects(holes), shape


@given(
    st.floats(130.0, 480.0), st.floats(0.0, 0.45), st.none() | st.floats(8.0, 60.0), st.booleans()
)
@settings(max_examples=15)
def test_plate_says_where_things_are(
    d: float, kerf: float, notch: float | None, mirror: bool
) -> None:
    """Features stand at the alignment's distances, and all that is drawn lies on the stock."""
    deck = align(Deck(pivot_to_spindle_mm=d))
    page = plate_page(deck, Cutting(kerf_mm=kerf, notch_mm=notch, mirror=mirror))
    spindle = page.features["spindle"]
    for name, radius in zip(("null_inner", "null_outer"), deck.arm.null_radii_mm, strict=True):
        assert math.dist(page.features[name], spindle) == pytest.approx(radius, abs=1e-9)
    (hole,) = inner_cuts(page)
    assert hole.centre == pytest.approx(spindle, abs=1e-9)
    assert 2 * hole.radius_mm == pytest.approx(CENTRE_HOLE_DIAMETER_MM - kerf)
    if notch is None:
        assert page.features["pivot"] is None
    else:
        assert math.dist(page.features["pivot"], spindle) == pytest.approx(d, abs=1e-9)
        rest = [
            s
            for s in page.shapes
            if isinstance(s, Arc)
            and s.stroke.layer == "cut"
            and s.radius_mm == pytest.approx((notch - kerf) / 2, abs=1e-9)
            and s.centre == pytest.approx(page.features["pivot"], abs=1e-6)
        ]
        assert len(rest) == 2  # two quarters of the notch's end


def test_windows_run_along_the_groove() -> None:
    """The long edges of a window are parallel to the groove's tangent in its null point."""
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    page = plate_page(deck)
    x0, y0 = page.features["spindle"]  # type: ignore[misc]
    edges = [
        s
        for s in page.shapes
        if isinstance(s, Line) and s.stroke.layer == "inner cut" and math.dist(s.start, s.end) > 10
    ]
    assert len(edges) == 8
    for edge in edges:
        nulls = [page.features[name] for name in ("null_inner", "null_outer")]
        null = min(nulls, key=lambda n, e=edge: math.dist(n, e.start))  # type: ignore[misc]
        radial = (null[0] - x0, null[1] - y0)  # type: ignore[index,operator]
        along = (edge.end[0] - edge.start[0], edge.end[1] - edge.start[1])
        dot = radial[0] * along[0] + radial[1] * along[1]
        assert abs(dot) / math.hypot(*radial) / math.hypot(*along) < 1e-9


def test_reference_square_is_never_moved() -> None:
    """The engraved square measures 20.000 mm whatever the kerf."""
    for kerf in (0.0, 0.45):
        for page in (plate_page(align(Deck(pivot_to_spindle_mm=222.0)), Cutting(kerf_mm=kerf)),):
            sides = [
                math.dist(s.start, s.end)
                for s in page.shapes
                if isinstance(s, Line) and s.stroke.layer == "reference"
            ]
            assert sides == pytest.approx([20.0] * 4, abs=1e-9)


def test_stock_too_small_and_turned() -> None:
    """Too small a sheet is refused with what would do; a sheet the other way round is turned."""
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    with pytest.raises(InputError, match=r"at least 149 x 205 mm"):
        plate_page(deck, Cutting(stock_mm=(150.0, 150.0)))
    with pytest.raises(InputError, match=r"or leave out notch"):
        plate_page(deck, Cutting(stock_mm=(200.0, 200.0), notch_mm=20.0))
    page = plate_page(deck, Cutting(stock_mm=(400.0, 165.0)))
    assert (page.width_mm, page.height_mm) == (165.0, 400.0)


def test_straight_arm_is_refused() -> None:
    """A straight arm with underhang has one null: no plate with two targets."""
    arm = Arm(pivot_to_spindle_mm=240.0, effective_length_mm=224.0, offset_angle_rad=0.0)
    with pytest.raises(InputError, match="single null"):
        plate_page(Alignment(arm=arm, scheme="null-radii", record=record("12")))


def test_mirrored_plate_reads_right_from_behind() -> None:
    """Turned over, the mirrored plate is the plate itself, words and all."""
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    plain, mirrored = (plate_page(deck, Cutting(mirror=m)) for m in (False, True))
    words = [s.text for s in plain.shapes if isinstance(s, Label)]
    back = flip(mirrored)
    assert [s.text for s in back.shapes if isinstance(s, Label) and not s.mirrored] == words
    assert all(s.mirrored for s in mirrored.shapes if isinstance(s, Label))


@pytest.mark.parametrize("kerf", [0.05, 0.1, 0.2, 0.35, 0.6])
def test_kerf_piece_reads_the_kerf(kerf: float) -> None:
    """Cut in shapely by a cutter of a known kerf, the blocks' gap points at that kerf.

    The drawn lines are swept by the cutter; what is left inside the window are the blocks. Pushed
    to the left wall, their last edge must lie on the scale's mark for the kerf.
    """
    page = kerf_page()
    cuts = [s for s in page.shapes if isinstance(s, Line) and s.stroke.layer == "inner cut"]
    low, high = page.features["window"]  # type: ignore[misc]
    swept = shapely.union_all(
        [shapely.LineString([s.start, s.end]).buffer(kerf / 2, cap_style="square") for s in cuts]
    )
    window = shapely.box(*low, *high)
    blocks = shapely.get_parts(window.difference(swept))
    assert len(blocks) == kerf_piece.BLOCKS
    widths = sum(block.bounds[2] - block.bounds[0] for block in blocks)
    edge = swept.bounds[0] + widths
    step = kerf / kerf_piece.FINEST_KERF_MM
    marks = sorted(
        (
            s.start[0]
            for s in page.shapes
            if isinstance(s, Line)
            and s.stroke.layer == "engrave"
            and s.start[0] == s.end[0]
            and s.start[1] > high[1]  # type: ignore[index]
        ),
        reverse=True,
    )
    assert edge == pytest.approx(marks[round(step)], abs=1e-6)


def test_kerf_moves_holes_and_outline_of_the_piece_alone() -> None:
    """With a kerf the holes shrink and the outline grows; the blocks stay on their lines."""
    plain, cut = kerf_page(), kerf_page(0.2)
    assert [
        a.radius_mm - b.radius_mm for a, b in zip(inner_cuts(plain), inner_cuts(cut), strict=True)
    ] == pytest.approx([0.1] * 6)

    def blocks(page: Page) -> list[float]:
        return sorted(
            math.dist(s.start, s.end)
            for s in page.shapes
            if isinstance(s, Line) and s.stroke.layer == "inner cut"
        )

    assert blocks(plain) == pytest.approx(blocks(cut), abs=1e-9)
    assert collisions(cut) == []


@settings(max_examples=25)
@given(st.floats(180.0, 400.0), st.floats(3.0, 10.0))
def test_pivot_ring_is_what_the_slots_allow(length: float, slots: float) -> None:
    """0.005 mm inside the ring's edge `correct` slides within the slots; 0.05 mm beyond, not.

    The cartridge starts in the middle of slots that stand at the arm's offset angle, or at that of
    the deck as it was drilled, and its own spread has taken its millimetre.
    """
    board = align(Deck(effective_length_mm=length))
    spare = slots / 2 - 1.0
    for edge, outward in zip(pivot_ring(board, slots), (-1, 1), strict=True):
        assume(120.1 <= edge <= 499.9)
        for d, allowed in ((edge - outward * 0.005, True), (edge + outward * 0.05, False)):
            target = align(Deck(pivot_to_spindle_mm=d)).arm
            drilled = replace(board.arm, pivot_to_spindle_mm=d)
            slides = [
                slide_and_turn(
                    length,
                    drilled.offset_angle_rad,
                    target.effective_length_mm,
                    target.offset_angle_rad,
                    slot_angle_rad=slot,
                )[0]
                for slot in (drilled.offset_angle_rad, target.offset_angle_rad)
            ]
            assert all(abs(slide) <= spare for slide in slides) == allowed
            if allowed:
                angles = [
                    math.degrees(-float(drilled.tracking_error(r))) for r in target.null_radii_mm
                ]
                assume(max(map(abs, angles)) <= 4)  # what the fan can show
                seen = [
                    Reading(radius_mm=r, angle_deg=angle)
                    for r, angle in zip(target.null_radii_mm, angles, strict=True)
                ]
                move = correct_arm(seen, target, slot_room_mm=(spare, spare))
                assert abs(move.slide_mm) <= spare


@pytest.mark.parametrize(
    ("length", "paper"), [(200.0, "a4"), (228.0, "letter"), (308.0, "a3"), (240.0, "legal")]
)
def test_board_is_true_and_readable(length: float, paper: str) -> None:
    """Spindle and pivot stand at the solved distance; no word collides; cautions are there."""
    deck = align(Deck(effective_length_mm=length))
    page = board_page(deck, PAPERS[paper], Mounting(mount_mm=25.0), "A new arm (invented)")
    spindle, pivot = page.features["spindle"], page.features["pivot"]
    assert math.dist(spindle, pivot) == pytest.approx(deck.arm.pivot_to_spindle_mm, abs=1e-9)
    circle = [
        s
        for s in page.shapes
        if isinstance(s, Arc) and s.radius_mm == pytest.approx(deck.arm.pivot_to_spindle_mm)
    ]
    assert len(circle) == 1
    assert collisions(page) == []
    words = " ".join(s.text for s in page.shapes if isinstance(s, Label))
    for caution in ("mains plug", "Look under the plinth", "licensed person", "maker's own"):
        assert caution in words
    assert min(s.size_pt for s in page.shapes if isinstance(s, Label)) >= 7


def test_board_that_is_too_long() -> None:
    """Spindle and pivot must stand on one sheet: no joint, but a paper that would do."""
    with pytest.raises(InputError, match="take A3"):
        board_page(align(Deck(effective_length_mm=308.0)), PAPERS["a4"])
    with pytest.raises(InputError, match=r"give paper 297x47\dmm"):
        board_page(align(Deck(effective_length_mm=420.0)), PAPERS["a3"])
    own = Paper(name="stock", label="Own sheet", width_mm=297.0, height_mm=480.0)
    assert collisions(board_page(align(Deck(effective_length_mm=420.0)), own)) == []


def test_gauge_commands_write(run: Run) -> None:
    """Each gauge in each format, with the features in its JSON and the file where it says."""
    for words in (("plate", *D), ("kerf",), ("board", "--effective-length", "239.3")):
        for kind in ("pdf", "svg", "dxf"):
            name = f"{words[0]}_mm.{kind}"
            ran = run("gauge", *words, "-o", name, "--json", "--text", "text")
            assert ran.status == 0, ran.err
            said = json.loads(ran.out)
            assert said["file"] == name
            assert said["file"] in ran.files
            assert said["sheet"]["width_mm"] > 100
            assert said["features"]
        shown = run("gauge", *words, "-o", f"{words[0]}_shown.svg").out
        assert max(map(len, shown.splitlines())) <= 80


def test_default_names_say_unit_and_deck(run: Run) -> None:
    """A DXF's name says mm; a second run keeps the first file and says --force."""
    assert run("gauge", "plate", *D, "--format", "dxf").files == [
        "templates_out/d222mm_lofgren-a_plate_mm.dxf"
    ]
    again = run("gauge", "plate", *D, "--format", "dxf", "--kerf", "0.2")
    assert again.status == 2
    assert "--force" in again.err


@pytest.mark.parametrize(
    "words",
    [
        ("template", *D),
        ("template", "--kind", "two-null"),
        ("gauge", "pivot"),
        ("printer", "sheet"),
    ],
)
def test_every_sheet_in_every_format(run: Run, words: tuple[str, ...]) -> None:
    """Sheets that are meant for paper can be had as SVG and DXF too, with the same features."""
    features = []
    for name, start in (("a.pdf", b"%PDF-"), ("a.svg", b"<?xml"), ("a_mm.dxf", b"  0\nSECTION")):
        ran = run(*words, "-o", name, "--text", "text", "--json")
        assert ran.status == 0, ran.err
        assert Path(name).read_bytes().startswith(start)
        features.append(json.loads(ran.out)["features"])
    assert features[0] == features[1] == features[2]
    assert "100 %" in run(*words, "--format", "pdf").out


def test_a_pack_is_a_pdf(run: Run) -> None:
    """Several pages for one print run cannot be an SVG."""
    ran = run("pack", *D, "-o", "a.svg")
    assert (ran.status, ran.files) == (2, [])
    assert "--output: got a.svg; allowed: a name that ends in .pdf" in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plate", *D, "--kerf", "-1"), "--kerf: got '-1'; allowed: 0 to 10 mm"),
        (("plate", *D, "--kerf", "4.5"), "at most 4.00 mm, what passes in the window inside"),
        (("plate", *D, "--stock", "100", "100"), "--stock: got 100 x 100 mm; allowed: at least"),
        (("plate", *D, "--stock", "100"), "--stock"),
        (("plate", *D, "--hole", "3"), "--hole: got '3'; allowed: 6.5 to 40 mm"),
        (("plate", *D, "--notch", "nan"), "--notch: got 'nan'; allowed: 4 to 80 mm"),
        (("plate", *D, "--thickness", "40"), "--thickness: got '40'; allowed: 0.1 to 12 mm"),
        (("plate", *D, "--colours", "pink"), "--colours: got pink; allowed: black, layers"),
        (("plate", *D, "--colours", "cut=red"), "--colours: got cut=red"),
        (("plate", *D, "--text", "outlines"), "did you mean outline?"),
        (("plate", *D, "--format", "dwg"), "--format: got dwg; allowed: pdf, svg, dxf"),
        (("plate", *D, "-o", "x.png"), "a name that ends in .pdf, .svg, .dxf"),
        (("plate", *D, "-o", "x.svg", "--format", "dxf"), "--format: got dxf for x.svg"),
        (("plate", *D, "--null-radii", "60", "65"), "null radii at least 16 mm apart"),
        (("board", "--effective-length", "308"), "--paper: got A4; allowed: a sheet at least"),
        (("board", *D, "--slots", "50"), "--slots: got '50'; allowed: 0 to 40 mm"),
        (("board", *D, "--paper", "100x150mm"), "--paper: got 100 x 150 mm; allowed: a sheet"),
        (("board", *D, "--printer", "none"), "--printer: got none"),
        (("bord", *D), "No such command 'bord'"),
    ],
)
def test_bad_input(run: Run, words: tuple[str, ...], said: str) -> None:
    """One clear line, exit status 2, no file."""
    ran = run("gauge", *words)
    assert (ran.status, ran.out, ran.files) == (2, "", [])
    assert len(ran.err.splitlines()) == 1
    assert said in ran.err


def test_nothing_is_engraved_into_the_spindle_hole() -> None:
    """Ticks, scale and sight line begin outside the hole, where the stock stays."""
    page = plate_page(align(Deck(pivot_to_spindle_mm=222.0)), Cutting(hole_mm=7.4), "A plate")
    spindle = shapely.Point(page.features["spindle"])
    lines = [s for s in page.shapes if isinstance(s, Line)]
    nearest = min(shapely.LineString([s.start, s.end]).distance(spindle) for s in lines)
    assert nearest == pytest.approx(7.4 / 2 + 1.5, abs=1e-9)
