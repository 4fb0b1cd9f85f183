"""A printer is calibrated once: its sheet, the readings, what it does, and the proof."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.wrappers import Response as AnyResponse

from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import quoted
from protractor.app.answers import Answer, answers, file_answer
from protractor.app.asked import AskedDeck, asked_deck
from protractor.app.forms import Form
from protractor.app.house import house
from protractor.app.owner import on_the_way
from protractor.app.printed import fit_python, instruments, on_page
from protractor.bench.inputs import DECK
from protractor.bench.prints import PrintReadings, Proof, print_readings, proof
from protractor.bench.ready_sheet import OnPaper, Sheet
from protractor.bench.remembered import mark_of
from protractor.bench.sheet_orders import printer_sheet
from protractor.errors import InputError
from protractor.files import make_folder
from protractor.inputs.declaration import Input
from protractor.printing import reading_inputs
from protractor.printing.diagnosis import Finding, diagnose
from protractor.printing.fit import Fit, fit
from protractor.printing.inputs import PAPER, PRINTER
from protractor.printing.paper import paper as paper_of
from protractor.printing.profiles import Profile, default_file, keep, profile_for
from protractor.sheets.calibration import calibration_lengths

pages = Blueprint("printer", __name__)

LINES = tuple(reading_inputs.LINE_INPUTS)

NAME = replace(PRINTER, name="name", help="Name of the printer, as you call it.")
CHECKED = Input(
    name="dialog-checked",
    kind="flag",
    help="The print dialog said 100 % and borderless off.",
)
CHOICE = "seen-defaults"
"""In the form that chooses paper and printer: the mark of the defaults."""

REPLACE = "replace"
"""In the form: the mark of the recorded printer that is to be replaced."""

READ: Mapping[str, Input] = {
    "instrument": reading_inputs.INSTRUMENT,
    **reading_inputs.LINE_INPUTS,
    "marks": reading_inputs.MARKS,
    "reading_uncertainty": reading_inputs.READING_UNCERTAINTY,
    "accuracy": reading_inputs.ACCURACY,
    **{f"{line}_nominal": asked for line, asked in reading_inputs.NOMINAL_INPUTS.items()},
}
RECORDED: Mapping[str, Input] = {
    "paper": PAPER,
    **READ,
    "name": NAME,
    "tray": reading_inputs.TRAY,
    "orientation": reading_inputs.ORIENTATION,
    "date": reading_inputs.DATE,
    "dialog_checked": CHECKED,
}
VERIFIED: Mapping[str, Input] = {
    "printer": PRINTER,
    "paper": reading_inputs.PROFILE_PAPER,
    **READ,
    "budget_mm": reading_inputs.BUDGET,
    "over_mm": reading_inputs.OVER,
}


def _readings(form: Form, paper: str) -> PrintReadings | None:
    """The readings of a form; None while one of the four lines is missing."""
    if not all(form.values.get(line) for line in LINES):
        return None
    return print_readings(paper, form.values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What the readings of a calibration sheet say: what they were, the fit, and findings."""

    readings: PrintReadings
    fit: Fit
    findings: list[Finding]

    @property
    def to_check(self) -> Finding | None:
        """The finding that asks for the print dialog."""
        return next((each for each in self.findings if each.weight == "ask"), None)

    @property
    def notes(self) -> list[Finding]:
        """What is worth knowing."""
        return [each for each in self.findings if each.weight == "note"]


def _judged(form: Form, paper: str) -> Recorded | None:
    """What the readings say; raises `InputError` for what no correction may be stored for."""
    found = _readings(form, paper)
    if found is None:
        return None
    findings = diagnose(found.measured, found.instrument, paper_of(paper), found.lengths_mm)
    for finding in findings:
        if finding.weight == "refuse":
            raise finding.error()
    return Recorded(readings=found, fit=fit(found.measured, found.instrument), findings=findings)


def _missing(form: Form) -> list[str]:
    """The lines that were not read."""
    return [line for line in LINES if not form[line].typed]


@answers(pages, "/printer/calibrate")
def calibrate() -> Answer | AnyResponse:
    """The calibration sheet, its readings, and what the printer does."""
    if CHOICE in request.args:  # from the choice of paper: what else it bears is not asked here
        deck, paper = request.args.get(DECK.name), request.args.get(PAPER.name)
        return redirect(url_for("printer.calibrate", deck=deck or None, paper=paper or None), 303)
    return _calibration(asked_deck(("paper",)), Form.asking(RECORDED, request.args))


def _calibration(asked: AskedDeck, form: Form) -> Answer:
    """The page of the readings of a calibration sheet."""
    for error in asked.form.others:
        form.refuse(error)
    paper = PAPER.or_default(asked.deck.paper if asked.deck else None)
    judged = form.asks(lambda: _judged(form, paper))
    name = form.values.get("name", "")
    there = form.asks(lambda: _there(name, paper)) if name else None
    return Answer(
        template="calibrate.html",
        title="Calibrate a printer",
        shown={
            **on_the_way(asked, "printer"),
            "form": form,
            "paper": paper,
            "label": paper_of(paper).label,
            "lines": LINES,
            "lengths": calibration_lengths(paper_of(paper)),
            "missing": _missing(form),
            "judged": judged,
            "there": there,
            "instruments": instruments(),
            "replacing": request.values.get(REPLACE, ""),
            "on_page": on_page,
        },
        data=judged
        and {
            "paper": paper,
            "lines": _lines(judged.readings),
            "fit": judged.fit.as_dict(),
            "findings": [each.as_dict() for each in judged.findings],
        },
        errors=form.errors,
        command=_record_command(form, paper, name) if form.ok else "",
        python=fit_python(judged.readings, paper, ["fit(measured, instrument)"]) if judged else "",
    )


def _there(name: str, paper: str) -> Profile | None:
    """What is recorded already under a name with a paper."""
    same = (p for p in house().printers() if p.name.casefold() == name.casefold())
    return next((p for p in same if p.paper == paper), None)


def _lines(found: PrintReadings) -> dict[str, Any]:
    return {
        one.line: {"nominal_mm": one.nominal_mm, "readings_mm": list(one.readings_mm)}
        for one in found.measured
    }


def _record_command(form: Form, paper: str, name: str) -> str:
    """The commands that write the sheet and, once there are readings, record them."""
    lines = [f"protractor printer sheet --paper {quoted(paper)}"]
    if name and not _missing(form):
        said = [word for word in form.words() if not word.startswith(("--name", "--paper"))]
        words = [quoted(name), f"--paper {quoted(paper)}", *said, *house().profile_words()]
        lines.append(" ".join(["protractor printer record", *words]))
    return "\n".join(lines)


@pages.post("/printer/record")
def record() -> ResponseReturnValue:
    """Records the printer under its name, and goes on to its proof."""
    asked = asked_deck(("paper",), query=request.form)
    form = Form.asking(RECORDED, request.form)
    for error in asked.form.others:
        form.refuse(error)
    paper = PAPER.or_default(asked.deck.paper if asked.deck else None)
    profile = form.asks(lambda: _kept(form, paper))
    if profile is None:
        return _calibration(asked, form).page()
    flash(f"Printer {profile.name} is recorded with paper {profile.paper}.")
    there = url_for(
        "printer.verify", deck=asked.name or None, printer=profile.name, paper=profile.paper
    )
    return redirect(there, 303)


def _kept(form: Form, paper: str) -> Profile:
    """The profile, once the file has it; raises `InputError` when it cannot be kept."""
    values = form.values
    judged = _judged(form, paper)
    if judged is None:
        line = next(iter(_missing(form)))
        raise InputError(line, "nothing", "three readings", "measure the line")
    if judged.to_check and not values.get("dialog_checked"):
        raise judged.to_check.error()
    if not values.get("name"):
        raise InputError("name", "nothing", NAME.allowed, "name the printer")
    profile = Profile(
        name=values["name"],
        paper=paper,
        instrument=judged.readings.instrument,
        measured=judged.readings.measured,
        tray=values.get("tray", ""),
        orientation=values.get("orientation") or "portrait",
        date=values.get("date", ""),
    )
    path, seen = house().profiles(), request.form.get(REPLACE, "")
    if path == default_file():
        make_folder(path.parent, "profile-file")
    there = _there(profile.name, paper)
    if there and not seen and there.as_dict() != profile.as_dict():
        raise InputError(
            "name",
            f"{there.name} with paper {paper}",
            "a printer and paper not recorded yet",
            "tick that it is to be replaced, or choose another name",
        )
    keep(path, profile, replace=bool(seen), seen=seen)
    return profile


@answers(pages, "/printer/verify")
def verify() -> Answer:
    """The verification sheet of a recorded printer, its readings, and the verdict."""
    asked = asked_deck(("name",))
    form = Form.asking(VERIFIED, request.args)
    for error in asked.form.others:
        form.refuse(error)
    values = form.values
    printer = values.get("printer", "")
    profile = form.asks(lambda: profile_for(house().printers(), printer, values.get("paper")))
    proved = form.asks(lambda: _proof(form, profile, asked.deck)) if profile else None
    return Answer(
        template="verify.html",
        title="Prove a printer",
        shown={
            **on_the_way(asked, "printer"),
            "form": form,
            "profile": profile,
            "label": paper_of(profile.paper).label if profile else "",
            "lines": LINES,
            "lengths": calibration_lengths(paper_of(profile.paper)) if profile else {},
            "missing": _missing(form),
            "proof": proved,
            "instruments": instruments(),
            "on_page": on_page,
            "seen": mark_of(asked.known) if asked.known else "",
            "seen_defaults": mark_of(asked.file.defaults) if asked.file else "",
        },
        data=proved and proved.as_dict(),
        errors=form.errors,
        command=_verify_command(asked, form, profile) if profile else "",
        python=_proof_python(proved) if proved else "",
    )


def _proof(form: Form, profile: Profile, deck: Deck | None) -> Proof | None:
    """The verdict on the readings; None while some are missing."""
    read, asked = _readings(form, profile.paper), form.values
    if read is None:
        return None
    return proof(
        profile, read, deck, budget_mm=asked.get("budget_mm"), over_mm=asked.get("over_mm")
    )


def _verify_command(asked: AskedDeck, form: Form, profile: Profile) -> str:
    """The commands that write the verification sheet and, once there are readings, judge it."""
    paper, more = f"--paper {quoted(profile.paper)}", house().profile_words()
    printer = f"--printer {quoted(profile.name)}"
    lines = [" ".join(["protractor printer sheet", paper, printer, *more])]
    if not _missing(form) and form.ok:
        said = [word for word in form.words() if not word.startswith(("--printer", "--paper"))]
        deck = [asked.file.words(asked.name)] if asked.file and asked.known else []
        words = [quoted(profile.name), paper, *said, *deck, *more]
        lines.append(" ".join(["protractor printer verify", *words]))
    return "\n".join(lines)


def _proof_python(proved: Proof) -> str:
    result = proved.judgement.result
    return fit_python(
        proved.readings,
        proved.profile.paper,
        [
            "from protractor.printing.verification import verify",
            f"verify(fit(measured, instrument), budget_mm={result.budget_mm!r}, "
            f"over_mm={result.over_mm!r})",
        ],
    )


def _sheet(form: Form) -> Sheet:
    """The calibration sheet, or the verification sheet of a printer."""
    if form.errors:
        raise form.errors[0]
    deck = Deck(**form.values)
    return printer_sheet(deck, OnPaper.of(deck, house().profile_file))


def _asked_sheet(*attributes: str) -> Sheet:
    known = {"paper": PAPER, "printer": PRINTER}
    return _sheet(Form.asking({name: known[name] for name in attributes}, request.args))


@pages.get("/printer/calibration.pdf")
def calibration_sheet() -> ResponseReturnValue:
    """The calibration sheet, to print."""
    with house().desk.drawing():
        sheet = _asked_sheet("paper")
        return file_answer(sheet.file_bytes(), "pdf", sheet.file_name())


@pages.get("/printer/calibration.svg")
def calibration_preview() -> ResponseReturnValue:
    """The calibration sheet as an image."""
    with house().desk.drawing():
        return file_answer(_asked_sheet("paper").preview(), "svg")


@pages.get("/printer/verification.pdf")
def verification_sheet() -> ResponseReturnValue:
    """The verification sheet of a recorded printer, to print."""
    with house().desk.drawing():
        sheet = _asked_sheet("paper", "printer")
        return file_answer(sheet.file_bytes(), "pdf", sheet.file_name())
