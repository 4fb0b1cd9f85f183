"""Cut lines: what stays after the cutter has passed has the size drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.drawing.cut_lines import CutLine, Hole, cut_shapes, narrowest_stock
from protractor.drawing.shapes import Arc, Circle, Label, Line, Page, Point, Shape
from protractor.errors import InputError
from protractor.sheets.plate import Cutting, plate_page

SIZES = st.floats(20.0, 400.0)
KERFS = st.floats(0.05, 0.45)


def rectangle(
    width: float, height: float, radius: float, *, opening: bool, name: str = "plate"
) -> CutLine:
    """A rounded rectangle with its lower left corner in the origin."""
    return CutLine(
        name=name,
        corners=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        radii_mm=(radius,) * 4,
        opening=opening,
    )


def rounded_area(width: float, height: float, radius: float) -> float:
    """Area of a rounded rectangle, by the school formula [mm²]."""
    return width * height - (4 - math.pi) * radius**2


def area(line: CutLine) -> float:
    """Area inside the strokes of a line, by Green's theorem: chords, and the segments of arcs."""
    whole, at = 0.0, (math.nan, math.nan)
    strokes = line.shapes()
    for stroke in (strokes[-1], *strokes):
        if isinstance(stroke, Line):
            start, end, segment = stroke.start, stroke.end, 0.0
        else:
            assert isinstance(stroke, Arc)
            start, end = stroke.at(stroke.start_rad), stroke.at(stroke.end_rad)
            angle = stroke.end_rad - stroke.start_rad
            segment = stroke.radius_mm**2 / 2 * (angle - math.sin(angle))
            if not math.isnan(at[0]) and math.dist(at, end) < math.dist(at, start):
                start, end, segment = end, start, -segment
        if not math.isnan(at[0]):
            whole += (start[0] * end[1] - end[0] * start[1]) / 2 + segment
        at = end
    return whole


@given(SIZES, SIZES, st.floats(1.0, 9.0), KERFS, st.booleans())
def test_kerf_of_a_rounded_rectangle(
    width: float, height: float, radius: float, kerf: float, opening: bool
) -> None:
    """The path encloses what the formula says of a rectangle half a kerf further out, or in."""
    profile = rectangle(width, height, radius, opening=opening)
    path = profile.for_kerf(kerf)
    out = -kerf / 2 if opening else kerf / 2
    wanted = rounded_area(width + 2 * out, height + 2 * out, radius + out)
    assert area(path) == pytest.approx(wanted, abs=1e-6)
    assert path.polygon().area == pytest.approx(wanted, abs=0.01 + 1e-4 * (width + height))
    left, low, right, high = path.polygon().bounds
    assert (left, low) == pytest.approx((-out, -out), abs=1e-9)
    assert (right, high) == pytest.approx((width + out, height + out), abs=1e-9)


@settings(max_examples=12)
@given(SIZES, st.floats(30.0, 90.0), st.floats(6.0, 25.0), KERFS)
def test_clearance_is_half_a_kerf_all_round(
    height: float, width: float, notch: float, kerf: float
) -> None:
    """The path runs half a kerf from the drawn line everywhere, in a notch as well."""
    middle, depth = width / 2, height + 20.0
    profile = CutLine(
        name="notched",
        corners=(
            (0.0, 0.0),
            (width, 0.0),
            (width, depth),
            (middle + notch / 2, depth),
            (middle + notch / 2, depth - notch),
            (middle - notch / 2, depth - notch),
            (middle - notch / 2, depth),
            (0.0, depth),
        ),
        radii_mm=(2.0, 2.0, 1.0, 1.0, notch / 2, notch / 2, 1.0, 1.0),
    )
    drawn, path = profile.polygon(), profile.for_kerf(kerf).polygon()
    assert path.contains(drawn)
    assert drawn.exterior.distance(path.exterior) == pytest.approx(kerf / 2, abs=1e-4)
    assert drawn.exterior.hausdorff_distance(path.exterior) == pytest.approx(kerf / 2, abs=1e-3)
    # what a round cutter of the kerf's width leaves standing, by shapely alone
    left = path.buffer(-kerf / 2, quad_segs=64)
    assert left.symmetric_difference(drawn).area < 1e-3 * drawn.length


def test_shapes_close_and_follow_one_another() -> None:
    """Each stroke starts where the one before ended, and every rounding is a true arc."""
    shapes = rectangle(60.0, 40.0, 5.0, opening=False).for_kerf(0.3).shapes()
    assert [type(shape) for shape in shapes].count(Arc) == 4
    ends = []
    for shape in shapes:
        if isinstance(shape, Line):
            ends.append((shape.start, shape.end))
        elif isinstance(shape, Arc):
            ends.append((shape.at(shape.start_rad), shape.at(shape.end_rad)))
            assert shape.radius_mm == pytest.approx(5.15)
    for (_, end), (start, _) in zip(ends, [*ends[1:], ends[0]], strict=True):
        assert math.dist(end, start) < 1e-9


def test_area_of_a_tilted_triangle() -> None:
    """The strokes enclose what the polygon does, for any corner, rounded or sharp."""
    triangle = CutLine(
        name="t", corners=((0.0, 0.0), (50.0, 8.0), (20.0, 44.0)), radii_mm=(3.0, 0.0, 6.0)
    )
    assert area(triangle) == pytest.approx(triangle.polygon(1e-6).area, abs=1e-3)


def test_hole_shrinks_by_the_kerf() -> None:
    """A hole of the standard's 7.24 mm is cut 0.2 mm smaller with a kerf of 0.2 mm."""
    (circle,) = Hole(name="hole", centre=(1.0, 2.0), diameter_mm=7.24).for_kerf(0.2).shapes()
    assert isinstance(circle, Circle)
    assert 2 * circle.radius_mm == pytest.approx(7.04)


def test_openings_are_cut_first() -> None:
    """A piece that is free already may move, so its outline comes last."""
    body = rectangle(60.0, 40.0, 5.0, opening=False)
    hole = Hole(name="hole", centre=(30.0, 20.0), diameter_mm=7.0)
    layers = [s.stroke.layer for s in cut_shapes([body, hole], 0.1) if not isinstance(s, Label)]
    assert layers[0] == "inner cut"
    assert set(layers[1:]) == {"cut"}


def test_narrowest_stock_is_found() -> None:
    """The web between two openings, its width and its place."""
    one = Hole(name="left hole", centre=(10.0, 20.0), diameter_mm=8.0)
    other = Hole(name="right hole", centre=(20.0, 20.0), diameter_mm=8.0)
    stock = narrowest_stock([rectangle(60.0, 40.0, 5.0, opening=False), one, other])
    assert stock.width_mm == pytest.approx(2.0, abs=1e-3)
    assert stock.at == pytest.approx((15.0, 20.0), abs=0.01)
    assert stock.between == ("left hole", "right hole")
    with pytest.raises(InputError, match=r"web between the left hole and the right hole"):
        cut_shapes([one, other], 2.5)


@pytest.mark.parametrize(
    ("profile", "kerf", "said"),
    [
        (rectangle(30.0, 5.0, 2.0, opening=True, name="window"), 4.5, "at most 4.00 mm"),
        (Hole(name="spindle hole", centre=(0.0, 0.0), diameter_mm=7.24), 8.0, "spindle hole"),
    ],
)
def test_kerf_that_does_not_pass(profile: CutLine | Hole, kerf: float, said: str) -> None:
    """A cutter wider than an opening's tightest place is refused, with the place and its width."""
    with pytest.raises(InputError, match=said):
        profile.for_kerf(kerf)


def scribed(shapes: tuple[Shape, ...]) -> list[Shape]:
    """What is engraved or refers, words about the kerf apart."""
    return [s for s in shapes if isinstance(s, Label) or "cut" not in s.stroke.layer]


def test_scribed_marks_stay() -> None:
    """Kerf moves what is cut and nothing else: marks keep their place about the spindle."""
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    plain, cut = (plate_page(deck, Cutting(kerf_mm=kerf)) for kerf in (0.0, 0.4))
    origin, moved = (page.features["spindle"] for page in (plain, cut))
    assert origin is not None
    assert moved is not None

    def lines(page_shapes: tuple[Shape, ...], at: object) -> set[tuple[float, ...]]:
        x, y = at  # type: ignore[misc]
        return {
            tuple(round(v, 6) for v in (s.start[0] - x, s.start[1] - y, s.end[0] - x, s.end[1] - y))
            for s in scribed(page_shapes)
            if isinstance(s, Line)
        }

    assert len(lines(plain.shapes, origin)) > 60
    assert lines(plain.shapes, origin) == lines(cut.shapes, moved)


def loops(page: Page) -> list[shapely.Polygon]:
    """The closed loops of a page's cut lines, put together by shapely from points along them."""
    lines = [
        shapely.LineString(dense(shape))
        for shape in page.shapes
        if not isinstance(shape, Label) and "cut" in shape.stroke.layer
    ]
    joined = shapely.set_precision(shapely.MultiLineString(lines), 1e-6)
    return list(shapely.get_parts(shapely.polygonize(list(joined.geoms))))


def dense(shape: Shape) -> list[Point]:
    """Points along a shape, close together on a curve."""
    if isinstance(shape, Line):
        return [shape.start, shape.end]
    if isinstance(shape, Circle):
        shape = Arc(shape.centre, shape.radius_mm, 0.0, 2 * math.pi, shape.stroke)
    assert isinstance(shape, Arc)
    return [shape.at(float(a)) for a in np.linspace(shape.start_rad, shape.end_rad, 250)]


@pytest.mark.parametrize("notch", [None, 24.0])
def test_plate_comes_out_as_drawn(notch: float | None) -> None:
    """A round cutter run along the paths of the whole plate leaves what is drawn without kerf.

    Area to 0.01 mm², outline and openings to 0.01 mm. The cut is made with shapely's buffer, from
    the shapes on the page alone.
    """
    deck = align(Deck(pivot_to_spindle_mm=222.0))
    kerf = 0.3
    drawn_page, cut_page = (
        plate_page(deck, Cutting(kerf_mm=k, notch_mm=notch)) for k in (0.0, kerf)
    )
    at, by = drawn_page.features["spindle"], cut_page.features["spindle"]
    # openings of one size are told apart by how far right they lie
    drawn, paths = (
        sorted(loops(page), key=lambda loop: (-round(loop.area), loop.centroid.x))
        for page in (drawn_page, cut_page)
    )
    assert len(drawn) == len(paths) == 6
    for number, (wanted, path) in enumerate(zip(drawn, paths, strict=True)):
        left = path.buffer(-kerf / 2 if number == 0 else kerf / 2, quad_segs=64)
        left = shapely.affinity.translate(left, at[0] - by[0], at[1] - by[1])  # type: ignore[index]
        assert left.area == pytest.approx(wanted.area, abs=0.01)
        assert left.exterior.hausdorff_distance(wanted.exterior) < 0.01
