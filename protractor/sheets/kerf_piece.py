"""The kerf test piece: cut it once and read how wide the cutter cuts.

Twenty blocks are cut out of a long window, all on their drawn lines. Each cut takes its kerf;
pushed together to the left, the blocks leave a gap of twenty and a half kerfs to the drawn end of
the window, and a scale beside it reads the kerf. The cutter's scale plays no part: blocks and scale
stretch together.
"""

from __future__ import annotations

from collections.abc import Iterator

from protractor import __version__
from protractor.arms.records import CENTRE_HOLE_DIAMETER_MM
from protractor.drawing.cut_lines import INNER_CUT, CutLine, Hole, cut_shapes
from protractor.drawing.movement import shift
from protractor.drawing.shapes import FINE, PLAIN, Label, Line, Page, Point, Shape, Stroke
from protractor.drawing.type import SMALLEST_PT
from protractor.sheets import marks
from protractor.sheets.frame import set_lines
from protractor.sheets.plate import CORNER_MM, MARGIN_MM, REFERENCE_SQUARE_MM, reference_square

WIDTH_MM, HEIGHT_MM = 142.0, 74.0
BLOCKS, BLOCK_MM = 20, 5.0
WINDOW: Point = (10.0, 26.0)
WINDOW_HEIGHT_MM = 10.0
GAPS = BLOCKS + 0.5
"""Kerfs from the last block's edge to the drawn end of the window: one a block, and the half that
the window's left wall gives way."""

FINEST_KERF_MM, WIDEST_KERF_MM = 0.05, 0.6
HEADING_PT = 12.0
HOLES_MM = (7.0, 7.1, 7.2, CENTRE_HOLE_DIAMETER_MM, 7.3, 7.4)


def gap_mm(kerf_mm: float) -> float:
    """From the last block's edge to the drawn end of the window, blocks pushed left [mm].

    >>> round(gap_mm(0.2), 3)
    4.1
    """
    return GAPS * kerf_mm


def kerf_page(kerf_mm: float = 0.0) -> Page:
    """The test piece on its stock. `kerf_mm` moves its outline and its six holes, not the blocks.

    Raises `InputError` when the kerf does not pass.
    """
    body = CutLine(
        name="piece's outline",
        corners=((0.0, 0.0), (WIDTH_MM, 0.0), (WIDTH_MM, HEIGHT_MM), (0.0, HEIGHT_MM)),
        radii_mm=(CORNER_MM,) * 4,
    )
    holes = [
        Hole(name=f"{d:g} mm hole", centre=(15.0 + 16.0 * at, 62.0), diameter_mm=d)
        for at, d in enumerate(HOLES_MM)
    ]
    paths = cut_shapes([*holes, body], kerf_mm)
    side = REFERENCE_SQUARE_MM
    square = (WIDTH_MM - MARGIN_MM - side, HEIGHT_MM - MARGIN_MM - side)
    shapes = [
        *_words(),
        *_scale(),
        *(
            Label(f"{hole.diameter_mm:g}", (hole.centre[0], 53.5), SMALLEST_PT, "middle")
            for hole in holes
        ),
        *reference_square(square),
        *paths[: len(holes)],
        *_blocks(),
        *paths[len(holes) :],
    ]
    edge = MARGIN_MM + kerf_mm / 2
    return Page(
        title="Kerf test piece",
        subject=f"Kerf test piece, kerf {kerf_mm:g} mm",
        paper="stock",
        width_mm=WIDTH_MM + 2 * edge,
        height_mm=HEIGHT_MM + 2 * edge,
        shapes=tuple(shift(shapes, (edge, edge))),
        features={
            "window": [
                [WINDOW[0] + edge, WINDOW[1] + edge],
                [WINDOW[0] + BLOCKS * BLOCK_MM + edge, WINDOW[1] + WINDOW_HEIGHT_MM + edge],
            ],
            "reference_square": [
                [square[0] + edge, square[1] + edge],
                [square[0] + side + edge, square[1] + side + edge],
            ],
        },
    )


def _blocks() -> Iterator[Shape]:
    """The window and the cuts between its blocks, on their drawn lines."""
    (left, low), high = WINDOW, WINDOW[1] + WINDOW_HEIGHT_MM
    right = left + BLOCKS * BLOCK_MM
    for at in range(1, BLOCKS):
        x = left + at * BLOCK_MM
        yield Line((x, low), (x, high), INNER_CUT)
    yield from marks.rectangle((left, low), (right, high), INNER_CUT)


def _scale() -> Iterator[Shape]:
    """Where the last block's edge comes to lie, by kerf."""
    end, base = WINDOW[0] + BLOCKS * BLOCK_MM, WINDOW[1] + WINDOW_HEIGHT_MM + 0.8
    steps = round(WIDEST_KERF_MM / FINEST_KERF_MM)
    for step in range(steps + 1):
        kerf = step * FINEST_KERF_MM
        x = end - gap_mm(kerf)
        long = 3.2 if step % 4 == 0 else 2.2 if step % 2 == 0 else 1.4
        yield Line((x, base), (x, base + long), Stroke(PLAIN if step % 4 == 0 else FINE))
        if step % 4 == 0:
            yield Label(f"{kerf:g}", (x, base + 4.3), SMALLEST_PT, "middle")
    yield Label("kerf, mm", (end + 2.5, base + 4.3), SMALLEST_PT)
    yield Line((end, base), (end - gap_mm(WIDEST_KERF_MM), base), Stroke(FINE))


def _words() -> Iterator[Shape]:
    x, y = MARGIN_MM, 19.0
    yield Label("Kerf test piece", (x, y), HEADING_PT, bold=True)
    lines = (
        "Push the twenty blocks to the left, tight together. The right edge of the last one points "
        "at the kerf.",
        f"For a wider kerf measure from that edge to the scale's 0 and divide by {GAPS:g}. Then "
        "cut the piece again",
        "with --kerf: the holes must come out as marked. The square is engraved; no kerf moves it. "
        f"protractor {__version__}",
    )
    yield from set_lines(lines, (x, y - 1.0), SMALLEST_PT)[0]
