"""Gauges to cut, to drill by and to measure with: preview at true proportion, files to download."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, abort, request
from werkzeug.wrappers import Response

from protractor.alignments.deck import Deck
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.dress import DRESS, STYLE_IMPORT, style_python
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.bench.ready_sheet import ONLY_PDFS, OnPaper, Sheet
from protractor.bench.sheet_orders import (
    board_sheet,
    kerf_sheet,
    pivot_gauge_sheet,
    plate_sheet,
)
from protractor.errors import InputError
from protractor.inputs.declaration import Input, inputs_of
from protractor.output.formats import ENDINGS, page_bytes
from protractor.output.style import Style, style_of
from protractor.sheets.arm_board import CAUTIONS as BOARD_CAUTIONS
from protractor.sheets.cutting import KERF, Cutting
from protractor.sheets.inputs import MOUNT, SLOTS, START
from protractor.sheets.pivot_gauge import CAUTIONS as PIVOT_CAUTIONS

pages = Blueprint("gauges", __name__)

LENGTHS = ("pivot_to_spindle_mm", "effective_length_mm")

TARGET = (
    "scheme",
    "record",
    "inner_radius_mm",
    "outer_radius_mm",
    "null_radii_mm",
    "exact",
    "held",
    "offset_angle_deg",
)

ON_PAPER = ("paper", "clear_margin_mm", "printer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """One kind of gauge.

    Attributes:
        title: of its page.
        lead: what it is for.
        cautions: what is to be heeded before anything is cut or drilled.
        attributes: fields of the deck that count.
        inputs: further inputs, by attribute.
        make: makes the sheet from the deck and the further values.
        python: the call that makes it, from the further values.
        imports: what that imports.
        bars: by what its size is checked.
        alt: what its image shows.
        formats: of its files, the usual one first.
    """

    title: str
    lead: str
    cautions: tuple[str, ...]
    attributes: Collection[str]
    inputs: Mapping[str, Input]
    make: Callable[[Deck, Mapping[str, Any]], Sheet]
    python: Callable[[Mapping[str, Any]], str]
    imports: str
    bars: str
    alt: str
    formats: tuple[str, ...] = ("svg", "dxf", "pdf")


def _plate(deck: Deck, values: Mapping[str, Any]) -> Sheet:
    return plate_sheet(deck, Cutting(**values))


def _kerf(deck: Deck, values: Mapping[str, Any]) -> Sheet:
    return kerf_sheet(values.get("kerf_mm"))


def _board(deck: Deck, values: Mapping[str, Any]) -> Sheet:
    on_paper = OnPaper.of(deck, house().profiles())
    return board_sheet(deck, on_paper, values.get("slots_mm"), values.get("mount_mm"))


def _pivot(deck: Deck, values: Mapping[str, Any]) -> Sheet:
    return pivot_gauge_sheet(deck, OnPaper.of(deck, house().profiles()), values.get("start_mm"))


def _keywords(values: Mapping[str, Any]) -> str:
    return ", ".join(f"{name}={value!r}" for name, value in values.items())


def _more(values: Mapping[str, Any]) -> str:
    return f", {_keywords(values)}" if values else ""


CUTTING_CAUTIONS = (
    "Laser and router: use the maker's guards, extraction and eye protection, and never leave a "
    "running cutter alone. Cut no PVC: its smoke is poisonous.",
    "Knife: cut away from your hand, along a metal ruler.",
)

GAUGES: Mapping[str, Gauge] = {
    "plate": Gauge(
        title="Plate",
        lead="A stiff gauge for one deck, to cut and engrave in acrylic or card of up to 12 mm. "
        "Read the cutter's kerf with the kerf test piece first. With a notch the plate rests "
        "against the pillar under the arm's pivot.",
        cautions=CUTTING_CAUTIONS,
        attributes=(*LENGTHS, *TARGET, "name"),
        inputs=inputs_of(Cutting),
        make=_plate,
        python=lambda values: f"plate_sheet(deck, Cutting({_keywords(values)}))",
        imports="from protractor.bench.sheet_orders import plate_sheet\n"
        "from protractor.sheets.cutting import Cutting",
        bars="the engraved 20 mm square",
        alt="Preview of the plate: outline to cut, spindle hole, marks to engrave",
    ),
    "kerf": Gauge(
        title="Kerf test piece",
        lead="A piece that reads how wide the cutter cuts. Cut it first with a kerf of 0 and read "
        "the scale; then cut it with the kerf that you read, and try its holes.",
        cautions=CUTTING_CAUTIONS,
        attributes=(),
        inputs={"kerf_mm": KERF},
        make=_kerf,
        python=lambda values: f"kerf_sheet({values.get('kerf_mm', '')})",
        imports="from protractor.bench.sheet_orders import kerf_sheet",
        bars="its frame, with calipers",
        alt="Preview of the kerf test piece: a row of blocks with a scale, and holes to try",
    ),
    "board": Gauge(
        title="Arm board",
        lead="Where to drill for a new arm: spindle, pivot circle and tolerance ring. Give the "
        "arm's effective length; the overhang follows from the scheme.",
        cautions=tuple(text for _, text in BOARD_CAUTIONS),
        attributes=(*LENGTHS, *TARGET, *ON_PAPER, "name"),
        inputs={"slots_mm": SLOTS, "mount_mm": MOUNT},
        make=_board,
        python=lambda values: f"board_sheet(deck, OnPaper.of(deck){_more(values)})",
        imports="from protractor.bench.ready_sheet import OnPaper\n"
        "from protractor.bench.sheet_orders import board_sheet",
        bars="both bars",
        alt="Preview of the arm board: spindle, pivot circle, tolerance ring, bars with rulers",
        formats=("pdf", "svg", "dxf"),
    ),
    "pivot-gauge": Gauge(
        title="Pivot gauge",
        lead="A paper gauge that measures pivot to spindle to a tenth of a millimetre: a fork with "
        "two scales, and a slider with verniers. For an arm that is longer than the sheet print a "
        "second one that starts at 190.",
        cautions=tuple(text for _, text in PIVOT_CAUTIONS),
        attributes=(*ON_PAPER, "name"),
        inputs={"start_mm": START},
        make=_pivot,
        python=lambda values: f"pivot_gauge_sheet(deck, OnPaper.of(deck){_more(values)})",
        imports="from protractor.bench.ready_sheet import OnPaper\n"
        "from protractor.bench.sheet_orders import pivot_gauge_sheet",
        bars="both bars",
        alt="Preview of the pivot gauge: a fork with two scales, a slider with verniers, bars",
        formats=("pdf", "svg", "dxf"),
    ),
}
"""The gauges by the names of their pages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a page was asked of a gauge; `asked` is None for one that needs no deck."""

    kind: str
    gauge: Gauge
    asked: AskedDeck | None
    more: Form
    dress: Form

    @classmethod
    def of(cls, kind: str, no_printer: str = "") -> Asked:
        """What the running request asks."""
        gauge = GAUGES.get(kind)
        if gauge is None:
            abort(404)
        asked = asked_deck(gauge.attributes, no_printer=no_printer) if gauge.attributes else None
        return cls(
            kind=kind,
            gauge=gauge,
            asked=asked,
            more=Form.asking(gauge.inputs, request.args),
            dress=Form.asking(DRESS, request.args),
        )

    @property
    def forms(self) -> list[Form]:
        """All forms of the page."""
        return [*([self.asked.form] if self.asked else []), self.more, self.dress]

    @property
    def errors(self) -> list[InputError]:
        """Everything that is wrong."""
        return [error for form in self.forms for error in form.errors]

    @property
    def begun(self) -> bool:
        """Whether a gauge is asked for: one that is for any deck is, without a question."""
        if self.asked is None or not set(LENGTHS) & set(self.gauge.attributes):
            return True
        return self.asked.asked

    @property
    def style(self) -> Style:
        """The dress of a cut file; raises `InputError` for colours that cannot be read."""
        return style_of(self.dress.values.get("text"), self.dress.values.get("colours"))

    def sheet(self) -> Sheet:
        """The sheet; raises `InputError` for the first thing that is wrong."""
        if self.errors:
            raise self.errors[0]
        deck = self.asked.deck if self.asked else Deck()
        assert deck is not None
        return self.gauge.make(deck, self.more.values)

    def drawn(self) -> Sheet | None:
        """The sheet with its pages; None when something is wrong, which is then said."""
        if self.errors:
            return None
        try:
            made = self.sheet()
            assert made.pages
            assert self.style
        except InputError as error:
            form = next((form for form in self.forms if error.name in form.fields), self.more)
            form.refuse(error)
            return None
        return made

    @property
    def command(self) -> str:
        """The command that writes the same."""
        name = "pivot" if self.kind == "pivot-gauge" else self.kind
        words = [*self.more.words(), *self.dress.words()]
        if self.asked is None:
            return " ".join([f"protractor gauge {name}", *words])
        return self.asked.command(f"gauge {name}", *words)

    @property
    def python(self) -> str:
        """The lines of Python that make the same."""
        call = self.gauge.python(self.more.values)
        style = ", style=style" if not self.dress.empty else ""
        usual = self.gauge.formats[0]
        last = [f'data = {call}.file_bytes("{usual}"{style})']
        imports = self.gauge.imports
        if style:
            imports += f"\n{STYLE_IMPORT}"
            last.insert(0, f"style = {style_python(self.dress.values)}")
        if self.asked is None:
            return "\n".join([imports, *last])
        return self.asked.python(f"from protractor import Deck\n{imports}", *last)


@answers(pages, "/workshop/gauge/<kind>")
def gauge(kind: str) -> Answer:
    """A gauge: its form, its preview, its files."""
    found = Asked.of(kind)
    with house().desk.drawing():
        made = found.drawn() if found.begun else None
    page = made.pages[0] if made else None
    fields = {name: each for form in found.forms for name, each in form.fields.items()}
    return Answer(
        template="gauge.html",
        title=found.gauge.title,
        shown={
            "kind": kind,
            "gauge": found.gauge,
            "gauges": GAUGES,
            "asked": found.asked,
            "found": found,
            "form": {"fields": fields, "others": [e for f in found.forms for e in f.others]},
            "names": found.asked.file.names if found.asked and found.asked.file else (),
            "sheet": made,
            "page": page,
            "size": f"{page.width_mm:.1f} × {page.height_mm:.1f} mm" if page else "",
            "words": made.words(found.gauge.formats[0]) if made else (),
        },
        data={
            **made.figures(),
            "width_mm": made.pages[0].width_mm,
            "height_mm": made.pages[0].height_mm,
            "features": made.pages[0].features,
        }
        if made
        else None,
        errors=found.errors if found.begun else (),
        command=found.command if made else "",
        python=found.python if made else "",
    )


@pages.get("/workshop/gauge/<kind>.svg")
def preview(kind: str) -> Response:
    """The first page as an image, dressed as its cut file is; uncorrected for any printer."""
    found = Asked.of(kind)
    with house().desk.drawing():
        return file_answer(page_bytes(found.sheet().pages[0], "svg", found.style), "svg")


@pages.get("/workshop/gauge/<kind>/file.<ending>")
def file(kind: str, ending: str) -> Response:
    """The file, as the command writes it."""
    if ending not in ENDINGS:
        abort(404)
    found = Asked.of(kind, "" if ending == "pdf" else ONLY_PDFS)
    with house().desk.drawing():
        made = found.sheet()
        data = made.file_bytes(ending, found.style)
        return file_answer(data, ending, made.file_name(ending))
