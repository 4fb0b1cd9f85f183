"""What every command that writes a sheet shares: the file, and what is said of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from protractor.bench.ready_sheet import Sheet
from protractor.cli.help import Option
from protractor.cli.options import Function, filled, print_json
from protractor.cli.saying import note, write_file
from protractor.cli.wording import prose
from protractor.drawing.type import printable
from protractor.files import make_folder, refuse
from protractor.inputs.declaration import Input, declared, take_all
from protractor.output.formats import format_of
from protractor.output.inputs import COLOURS, FORMAT, TEXT_AS
from protractor.output.style import Style, style_of

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

    def place(self, sheet: Sheet) -> tuple[Path, str]:
        """The file to write and its format, refused before any work when it cannot be written.

        The sheet names the file when the user names none.
        """
        path = self.output or DEFAULT_FOLDER / sheet.file_name(self.format or sheet.usual)
        sheet.check_format(path.suffix.lower().lstrip(".") or self.format or "pdf", path.name)
        file_format = format_of(path, self.format)
        if self.output is not None or DEFAULT_FOLDER.exists():  # made when something goes there
            refuse(path, True)  # whether another file is there is seen when it is written
        return path, file_format

    def write(self, path: Path, data: bytes) -> None:
        """Writes the file whole; the default folder is made only now."""
        if path.parent == DEFAULT_FOLDER:
            make_folder(DEFAULT_FOLDER)
        write_file(path, data, force=self.force)


def file_options(function: Function) -> Function:
    """Adds `--output`, `--format`, `--text`, `--colours`, `--force`; the command gets a `file`."""
    return output_option(filled(SheetFile, under="file", beside=("output",))(function))


def note_missing_letters(title: str) -> None:
    """Says so when the title has letters that the sheets' typeface lacks."""
    if printable(title) != title:
        note("the sheet's typeface lacks some characters of the title")


def write_sheet(sheet: Sheet, file: SheetFile, as_json: bool) -> None:
    """Writes a sheet and reports it: in words, or its figures and features as JSON."""
    style = file.style
    path, file_format = file.place(sheet)
    file.write(path, sheet.file_bytes(file_format, style))
    note_missing_letters(sheet.title)
    if as_json:
        print_json(sheet.as_dict(str(path)))
    else:
        click.echo("\n".join([str(path), *prose(*sheet.words(file_format))]))
