"""`protractor pack`: proof of the printer, sheet and numbers as one PDF for one print run."""

from __future__ import annotations

from pathlib import Path

import click

from protractor.alignments.deck import Deck
from protractor.cli.help import Command
from protractor.cli.options import (
    ALIGNED,
    SHEET,
    asks_deck,
    force_option,
    json_option,
    option,
    print_json,
)
from protractor.cli.sheets import (
    OnPaper,
    SheetFile,
    correction_dict,
    note_missing_letters,
    output_option,
    profile_file_option,
    sheet_dict,
)
from protractor.cli.template import alignment_sheet
from protractor.cli.wording import prose, terms
from protractor.errors import InputError
from protractor.sheets.inputs import KIND


@click.command("pack", cls=Command)
@asks_deck(*ALIGNED, "straight", "zenith_deg", *SHEET, "name")
@profile_file_option
@option(KIND)
@output_option
@force_option
@json_option
def command(
    deck: Deck,
    kind: str | None,
    profile_file: Path | None,
    output: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Write one PDF with bookmarks: calibration sheet, alignment sheet and numbers.

    The options are those of `protractor template`. With --printer the first page is the
    verification sheet. Without a deck (--kind two-null alone) there is no page of numbers.
    """
    on_paper = OnPaper.of(deck, profile_file)
    sheet, alignment = alignment_sheet(deck, kind, on_paper)
    correction, note = on_paper.correction, on_paper.note
    if correction is None and output is not None and output.suffix.lower() not in ("", ".pdf"):
        raise InputError("output", output, "a name that ends in .pdf", "name it so: it is one PDF")
    file = SheetFile(output=output, format="pdf", force=force)
    path, _ = file.place(f"pack_{sheet.stem}", correction=correction)

    from protractor.output.pdf import pdf_bytes
    from protractor.sheets.calibration import calibration_page
    from protractor.sheets.numbers import numbers_page

    drawn = sheet.pages()
    proof = on_paper.page(lambda paper: calibration_page(paper, deck.printer or "", note))
    pages = [proof, *drawn]
    if alignment is not None:
        pages.append(on_paper.page(lambda paper: numbers_page(alignment, paper, deck.name, note)))
    names = [page.title for page in pages]
    matrix, printer = (correction.matrix, correction.printer) if correction else (None, "")
    file.write(path, pdf_bytes(pages, matrix, names, printer))
    note_missing_letters(deck.name)
    paper = on_paper.paper
    if as_json:
        print_json(
            {
                **sheet.figures(),
                "file": str(path),
                "sheet": sheet_dict(paper.name, paper.width_mm, paper.height_mm),
                "printer": correction_dict(correction),
                "pages": [{"title": page.title, "features": page.features} for page in pages],
            }
        )
        return
    summary = f"{len(pages)} pages {paper.label}: {', '.join(names)}"
    remarks = terms(alignment) if alignment else []
    lines = [str(path), *prose(summary, *remarks, note)]
    click.echo("\n".join([*lines, "Print at 100 % (actual size), on one side."]))
