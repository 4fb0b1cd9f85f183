"""What every command that writes a sheet shares: paper, printer, file, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from protractor.alignments.alignment import Alignment
from protractor.alignments.deck import Deck
from protractor.arms.schemes import OWN_NULLS
from protractor.cli.help import Option
from protractor.cli.options import Function, filled, print_json
from protractor.cli.saying import note, write_file
from protractor.drawing.shapes import Page
from protractor.drawing.type import printable
from protractor.errors import InputError
from protractor.files import file_stem, make_folder, refuse
from protractor.inputs.declaration import Input, declared, take_all
from protractor.output.formats import ENDINGS, format_of, page_bytes
from protractor.output.inputs import COLOURS, FORMAT, TEXT_AS
from protractor.output.style import Style, read_colours
from protractor.printing.inputs import PAPER
from protractor.printing.paper import Paper, place_on_paper
from protractor.printing.paper import paper as paper_named

if TYPE_CHECKING:
    from protractor.printing.fit import PrintCorrection
    from protractor.printing.profiles import Profile

DEFAULT_FOLDER = Path("templates_out")

profile_file_option = click.option(
    "--profile-file",
    cls=Option,
    group="File",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File of printer profiles, in place of the one in your configuration folder.",
)
output_option = click.option(
    "-o",
    "--output",
    cls=Option,
    group="File",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write; its ending says the format. Default: a name that says what is on the "
    "sheet, in templates_out/.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFile:
    """The file that a sheet is written to: its name, its format, and how a cut file is dressed."""

    output: Path | None = None
    format: str | None = declared(FORMAT)
    text: str | None = declared(TEXT_AS)
    colours: str | None = declared(COLOURS)
    force: bool = declared(
        Input(name="force", kind="flag", help="Replace a file that exists."), default=False
    )

    def __post_init__(self) -> None:
        take_all(self)

    @property
    def style(self) -> Style:
        """The dress of a cut file; raises `InputError` for colours that cannot be read."""
        return style_of(self.text, self.colours)

    def place(
        self, stem: str, usual: str = "pdf", correction: PrintCorrection | None = None
    ) -> tuple[Path, str]:
        """The file to write and its format, refused before any work when it cannot be written.

        `stem` names the file when the user names none, in the `usual` format. A correction for a
        printer is for PDF alone.
        """
        path = self.output or DEFAULT_FOLDER / (stem + ENDINGS[self.format or usual])
        if correction is not None and (path.suffix.lower() or ".pdf") != ".pdf":
            raise InputError(
                "printer",
                f"{correction.printer} for {path.name}",
                "PDF sheets alone",
                "a cut file or drawing must keep its lengths: leave out `printer`, or name a .pdf",
            )
        file_format = format_of(path, self.format)
        if self.output is not None or DEFAULT_FOLDER.exists():  # made when something goes there
            refuse(path, True)  # whether another file is there is seen when it is written
        return path, file_format

    def write(self, path: Path, data: bytes) -> None:
        """Writes the file whole; the default folder is made only now."""
        if path.parent == DEFAULT_FOLDER:
            make_folder(DEFAULT_FOLDER)
        write_file(path, data, force=self.force)


def style_of(text: str | None, colours: str | None) -> Style:
    """The dress of a cut file that `--text` and `--colours` ask for."""
    return Style(
        text="text" if text == "text" else "outline",
        colours=read_colours(colours or str(COLOURS.default)),
    )


def file_options(function: Function) -> Function:
    """Adds `--output`, `--format`, `--text`, `--colours`, `--force`; the command gets a `file`."""
    return output_option(filled(SheetFile, under="file", beside=("output",))(function))


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPaper:
    """A sheet of paper, and the correction for the printer that it goes through."""

    paper: Paper
    correction: PrintCorrection | None = None

    @classmethod
    def of(cls, deck: Deck, profile_file: Path | None) -> OnPaper:
        """The paper and printer that a deck asks for; raises `InputError` for unknown ones."""
        paper = paper_named(PAPER.or_default(deck.paper), deck.clear_margin_mm)
        if deck.printer is None:
            return cls(paper=paper)
        return cls(paper=paper, correction=profile_of(deck.printer, paper, profile_file).correction)

    @property
    def note(self) -> str:
        """The line on a sheet that names the printer it was corrected for; empty for none."""
        return self.correction.statement if self.correction else ""

    def page(self, make: Callable[[Paper], Page]) -> Page:
        """The page that `make` makes, upright or on its side.

        Raises `InputError` that names the smallest paper that would do.
        """
        return place_on_paper(make, self.paper)[0]


def profile_of(printer: str, paper: Paper, profile_file: Path | None) -> Profile:
    """What was recorded of a printer on a paper."""
    from protractor.printing.profiles import load, profile_for

    return profile_for(load(profile_path(profile_file)), printer, paper.name)


def profile_path(profile_file: Path | None) -> Path:
    """The profile file that was named, else the user's own."""
    from protractor.printing.profiles import default_file

    return profile_file or default_file()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet to be written: its file's stem, its pages, what is said of it, and its figures.

    `report` gets the first page, which is the one that a cut file has, and the file's format;
    `usual` is the format when none is asked for.
    """

    stem: str
    make: Callable[[], Page | tuple[Page, ...]]
    report: Callable[[Page, str], str]
    figures: Callable[[], dict[str, Any]] = dict
    usual: str = "pdf"
    correction: PrintCorrection | None = None

    def pages(self) -> tuple[Page, ...]:
        """The sheet's pages, made now."""
        made = self.make()
        return (made,) if isinstance(made, Page) else made

    def write(self, file: SheetFile, as_json: bool) -> None:
        """Writes the sheet and reports it: in words, or its figures and features as JSON."""
        style = file.style
        path, file_format = file.place(self.stem, self.usual, self.correction)
        pages = self.pages()
        page = pages[0]
        matrix = self.correction.matrix if self.correction else None
        printer = self.correction.printer if self.correction else ""
        file.write(path, page_bytes(pages, file_format, style, matrix, printer))
        note_missing_letters(page.title)
        if not as_json:
            click.echo(f"{path}\n{self.report(page, file_format)}")
            return
        print_json(
            {
                **self.figures(),
                "file": str(path),
                "sheet": sheet_dict(page.paper, page.width_mm, page.height_mm),
                "printer": correction_dict(self.correction),
                "features": page.features,
            }
        )


def stem_of(deck: Deck, *parts: str) -> str:
    """A file's stem: the title, the given pieces, what turns the grids, the last piece, printer."""
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


def note_missing_letters(title: str) -> None:
    """Says so when the title has letters that the sheets' typeface lacks."""
    if printable(title) != title:
        note("the sheet's typeface lacks some characters of the title")


def proof(file_format: str) -> str:
    """What to do before a sheet with two bars is used."""
    if file_format == "pdf":
        return "Print at 100 % (actual size), then measure both bars before you use the sheet."
    return "One unit is one millimetre; measure both bars on the piece before you use it."


def sheet_dict(paper: str, width_mm: float, height_mm: float) -> dict[str, Any]:
    """A sheet's size under the stable keys of `--json`."""
    return {"paper": paper, "width_mm": width_mm, "height_mm": height_mm}


def correction_dict(correction: PrintCorrection | None) -> dict[str, Any] | None:
    """A correction under the stable keys of `--json`; None for none."""
    if correction is None:
        return None
    return {
        "name": correction.printer,
        "date": correction.date,
        "x_factor": 1 / correction.scale_x,
        "y_factor": 1 / correction.scale_y,
        "matrix": [list(row) for row in correction.matrix],
    }
