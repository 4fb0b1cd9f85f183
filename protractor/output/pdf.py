"""Pages to PDF, true to scale.

As ISO 32000 asks of a print that must keep its size: the media box is the paper to the last digit,
nothing is turned, cropped or scaled by the page, and the viewer is told not to scale either. The
same pages give the same bytes: no date, no compression whose result depends on a library's version.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Sequence
from typing import Any

from protractor import __version__
from protractor.drawing.extent import outline
from protractor.drawing.shapes import SHARE_BEFORE, Arc, Label, Line, Page, Point, Stroke
from protractor.drawing.surroundings import undisturbed
from protractor.drawing.type import FONT_NAMES, font, printable, width_mm
from protractor.errors import InputError
from protractor.output.written import keywords_of

with undisturbed():
    from reportlab.pdfbase import pdfdoc, pdfmetrics
    from reportlab.pdfgen.canvas import Canvas

POINTS_PER_MM = 72 / 25.4
STRAY_MM = 2e-4
"""How far a Bézier curve may stray from the circle that it stands for."""


class _Info(pdfdoc.PDFInfo):  # type: ignore[misc]  # reportlab ships no types
    """The document's information without dates: same inputs, same bytes."""

    def format(self, document: Any) -> Any:
        entries = {
            "Title": pdfdoc.PDFString(self.title),
            "Subject": pdfdoc.PDFString(self.subject),
            "Creator": pdfdoc.PDFString(self.creator),
            "Producer": pdfdoc.PDFString(self.producer),
        }
        if self.keywords:
            entries["Keywords"] = pdfdoc.PDFString(self.keywords)
        return pdfdoc.PDFDictionary(entries).format(document)


def _register_fonts() -> None:
    for bold, name in FONT_NAMES.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(font(bold))


def _viewer_preferences() -> Any:
    """The viewer shall print at 100 % on the paper of the page's own size, on one side.

    ISO 32000-1, 12.2 and, for Enforce, ISO 32000-2. Set on the catalogue directly, because the
    library's own setter knows neither Enforce nor PickTrayByPDFSize.
    """
    name = pdfdoc.PDFName
    return pdfdoc.PDFDictionary(
        {
            "PrintScaling": name("None"),
            "Enforce": pdfdoc.PDFArray([name("PrintScaling")]),
            "PickTrayByPDFSize": "true",
            "Duplex": name("Simplex"),
            "DisplayDocTitle": "true",
        }
    )


Matrix = Sequence[Sequence[float]]
Place = Callable[[Point], Point]
"""Where a point of the page [mm] is drawn [pt]."""


def pdf_bytes(
    pages: Sequence[Page],
    correction: Matrix | None = None,
    bookmarks: Sequence[str] = (),
    printer: str = "",
) -> bytes:
    """One PDF of the pages; title and subject are those of the first.

    `correction` is the matrix that undoes what a printer does to a paper that stands upright,
    applied about each page's anchor: strokes are mapped exactly, circles to ellipses, while text is
    moved and keeps its form. A page on its side is printed turned, either way round.
    `bookmarks` are names of the pages, one for each, shown as an outline; `printer` is the name of
    the printer that is corrected, kept in the file for `read_written`.
    Raises `InputError` when the correction pushes something off the paper.
    """
    _register_fonts()
    buffer = io.BytesIO()
    first = pages[0]
    with undisturbed():
        canvas = Canvas(
            buffer,
            pageCompression=0,
            invariant=1,
            pdfVersion=(1, 7),
            lang="en",
            initialFontName=FONT_NAMES[False],
        )
    document = canvas._doc
    document.info = _Info()
    document.info.keywords = keywords_of(printer) if printer else ""
    canvas.setTitle(first.title)
    canvas.setSubject(first.subject)
    canvas.setCreator(f"protractor {__version__}")
    document.Catalog.ViewerPreferences = _viewer_preferences()
    if bookmarks:
        canvas.showOutline()
    for number, page in enumerate(pages):
        canvas.setPageSize((page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM))
        if bookmarks:
            canvas.bookmarkPage(f"page{number}", fit="Fit")
            canvas.addOutlineEntry(bookmarks[number], f"page{number}")
        _draw(canvas, page, _place(page, correction))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def on_its_side(matrix: Matrix) -> Matrix:
    """A printer's matrix as it acts on a page that lies on its side.

    The page is turned by a quarter before it is printed, to the left or to the right: the matrix
    between that turn and the turn back, which is the same for both.

    >>> on_its_side(((1.01, 0.002), (0.0, 0.99)))
    ((0.99, -0.0), (-0.002, 1.01))
    """
    (xx, xy), (yx, yy) = matrix
    return (yy, -yx), (-xy, xx)


def _place(page: Page, correction: Matrix | None) -> Place:
    """Takes a point of the page in mm to where it is drawn, in points."""
    if correction is None:
        return lambda point: (point[0] * POINTS_PER_MM, point[1] * POINTS_PER_MM)
    (xx, xy), (yx, yy) = on_its_side(correction) if page.width_mm > page.height_mm else correction
    cx, cy = page.anchor

    def place(point: Point) -> Point:
        x, y = point[0] - cx, point[1] - cy
        return (
            (cx + xx * x + xy * y) * POINTS_PER_MM,
            (cy + yx * x + yy * y) * POINTS_PER_MM,
        )

    width, height = page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM
    for shape in page.shapes:
        for x, y in map(place, outline(shape)):
            if not (0 < x < width and 0 < y < height):
                raise InputError(
                    "printer",
                    "a correction that leads off the paper",
                    "a drawing that stays on the paper",
                    "give a larger `clear-margin` or a larger `paper`",
                )
    return place


def _draw(canvas: Any, page: Page, place: Place) -> None:
    """The page's strokes, then its labels, so that text is never under a line."""
    current: Stroke | None = None
    for shape in page.shapes:
        if isinstance(shape, Label):
            continue
        if shape.stroke != current:
            current = shape.stroke
            canvas.setLineWidth(current.width_mm * POINTS_PER_MM)
            canvas.setDash([length * POINTS_PER_MM for length in current.dashes_mm])
        if isinstance(shape, Line):
            canvas.line(*place(shape.start), *place(shape.end))
        else:
            _curve(canvas, shape if isinstance(shape, Arc) else shape.arc(), place)
    _write(canvas, [shape for shape in page.shapes if isinstance(shape, Label)], place)


def _curve(canvas: Any, arc: Arc, place: Place) -> None:
    """An arc as Bézier curves that stray by at most `STRAY_MM`, closed when it is a circle.

    A piece over the angle a strays by about 4/27 sin(a/4)^6 of the radius. The affine image of a
    Bézier curve is that of its control points: an ellipse costs nothing more.
    """
    sweep = arc.end_rad - arc.start_rad
    sine = min(1.0, (27 / 4 * STRAY_MM / arc.radius_mm) ** (1 / 6))
    pieces = max(1, math.ceil(sweep / min(math.pi / 2, 4 * math.asin(sine)) - 1e-9))
    step = sweep / pieces
    pull = 4 / 3 * math.tan(step / 4)
    (cx, cy), r = arc.centre, arc.radius_mm
    path = canvas.beginPath()
    cos, sin = math.cos(arc.start_rad), math.sin(arc.start_rad)
    path.moveTo(*place((cx + r * cos, cy + r * sin)))
    for piece in range(1, pieces + 1):
        angle = arc.start_rad + piece * step
        cos2, sin2 = math.cos(angle), math.sin(angle)
        path.curveTo(
            *place((cx + r * (cos - pull * sin), cy + r * (sin + pull * cos))),
            *place((cx + r * (cos2 + pull * sin2), cy + r * (sin2 - pull * cos2))),
            *place((cx + r * cos2, cy + r * sin2)),
        )
        cos, sin = cos2, sin2
    if sweep >= 2 * math.pi - 1e-9:
        path.close()
    canvas.drawPath(path, stroke=1, fill=0)


def _write(canvas: Any, labels: Sequence[Label], place: Place) -> None:
    font: tuple[bool, float] | None = None
    for label in labels:
        text = printable(label.text)
        if font != (label.bold, label.size_pt):
            font = (label.bold, label.size_pt)
            canvas.setFont(FONT_NAMES[label.bold], label.size_pt)
        x, y = place(label.at)
        share = SHARE_BEFORE[label.anchor]
        left = share * POINTS_PER_MM * width_mm(text, label.size_pt, label.bold) if share else 0.0
        if label.angle_rad == 0 and not label.mirrored:
            canvas.drawString(x - left, y, text)
            continue
        cos, sin = math.cos(label.angle_rad), math.sin(label.angle_rad)
        along_x, along_y = (-cos, -sin) if label.mirrored else (cos, sin)
        line = canvas.beginText()
        line.setTextTransform(along_x, along_y, -sin, cos, x - left * along_x, y - left * along_y)
        line.textOut(text)
        canvas.drawText(line)
