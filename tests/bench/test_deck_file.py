"""Files of decks: read strictly, told by line and field, written so that they read back."""

from __future__ import annotations

import csv
import io
import json
import random
import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.arms.schemes import SCHEMES
from protractor.bench.deck_csv import csv_text
from protractor.bench.deck_file import decks_of, read_decks
from protractor.bench.deck_toml import toml_text
from protractor.bench.decks import FIELDS, deck_stem, read_deck, remark
from protractor.errors import InputError
from tests.conftest import Ran
from tests.tries import tries

Run = Callable[..., Ran]

TOML = """# the bench, invented
[[deck]]
name = "Bench deck 1"
pivot-to-spindle = 222.0
paper = "letter"

[[deck]]
name = "Прибор № 2, «двенадцать»"
pivot_to_spindle = "11 5/8 in"   # as the owner measured
scheme = "stevenson"
notes = \"\"\"
[[deck]]
pivot-to-spindle = 3
\"\"\"

[[deck]]
name = "Bench deck 3"
effective-length = 239.3
null-radii = [66.0, 120.9]
record = 12
rpm = 45
"""

CSV = """name,pivot-to-spindle,scheme,null-radii,notes
Bench deck 1,222.5,,,"said: ""new belt"", 2 sets"
Bench deck 2,8 3/4 in,stevenson,,
Bench deck 3,240,,66 and 120.9,"two
lines"
"""


def write(folder: Path, name: str, content: str | bytes) -> Path:
    """A file with this content."""
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def test_toml(tmp_path: Path) -> None:
    """Tables, units, fractions, other scripts, numbers where a word is meant, a long string."""
    found = read_decks(write(tmp_path, "d.toml", TOML))
    assert found.faults == ()
    assert found.lines == (2, 7, 16)
    one, two, three = found.decks
    assert (one.name, one.pivot_to_spindle_mm, one.paper) == ("Bench deck 1", 222.0, "letter")
    assert two.pivot_to_spindle_mm == pytest.approx(11.625 * 25.4)
    assert two.notes == "[[deck]] pivot-to-spindle = 3"
    assert (three.record, three.rpm, three.null_radii_mm) == ("12", 45.0, (66.0, 120.9))


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_csv_in_every_dress(tmp_path: Path, mark: str, separator: str, end: str) -> None:
    """Byte-order mark, separators, line ends, quotes, and decimal commas where they can be."""
    rows = list(csv.reader(io.StringIO(CSV)))
    if separator != ",":
        rows = [
            [cell.replace(".", ",") if at in (1, 3) else cell for at, cell in enumerate(row)]
            for row in rows
        ]
    stream = io.StringIO(newline="")
    csv.writer(stream, delimiter=separator, lineterminator=end).writerows(rows)
    found = read_decks(write(tmp_path, "d.csv", mark + stream.getvalue()))
    assert found.faults == ()
    assert [deck.pivot_to_spindle_mm for deck in found.decks] == [222.5, 222.25, 240.0]
    assert found.decks[0].notes == 'said: "new belt", 2 sets'
    assert found.decks[2].null_radii_mm == (66.0, 120.9)
    assert found.decks[2].notes == "two lines"
    assert found.lines == (2, 3, 4)


def test_csv_of_a_spreadsheet_in_utf_16(tmp_path: Path) -> None:
    """Tab-separated text with its byte-order mark, as spreadsheets write it, is read."""
    found = read_decks(write(tmp_path, "d.csv", CSV.replace(",", "\t").encode("utf-16")))
    assert len(found.decks) == 3


@pytest.mark.parametrize(
    ("line", "field", "said"),
    [
        ('pivot-to-spindle = "5 mm"', "pivot-to-spindle", "got '5 mm'; allowed: 120 to 500 mm"),
        ("pivot-to-spindle = true", "pivot-to-spindle", "got True (true or false)"),
        ("pivot-to-spindle = nan", "pivot-to-spindle", "got nan (float)"),
        ("pivot-to-spindle = 0x" + 4000 * "f", "pivot-to-spindle", "a number of many digits"),
        ("pivot-to-spindle = 1979-05-27", "pivot-to-spindle", "got 1979-05-27 (date)"),
        ("pivot-to-spindle = [222]", "pivot-to-spindle", "got a list of 1"),
        ("pivot-to-spindel = 222", "pivot-to-spindel", "did you mean pivot-to-spindle?"),
        ('scheme = "lofgren"', "scheme", "allowed: lofgren-a"),
        ("null-radii = [66]", "null-radii", "two lengths"),
        ('null-radii = "66 to 120 mm"', "null-radii", "two lengths"),
        ("null-radii = [120, 66]", "null-radii", "the inner one first"),
        ('record = "12-iec-1987"', "record", "add inner-radius"),
        ('overhang = "15±x"', "overhang", "a number after the ±"),
        ('linear-offset = "93 deg"', "linear-offset", "correct the unit"),
        ("notes.x = 1", "notes", "got a table of 1"),
        ('"pivot_to_spindle" = 223', "pivot-to-spindle", "the field twice"),
    ],
)
def test_fault_has_line_and_field(tmp_path: Path, line: str, field: str, said: str) -> None:
    """Each fault says its line and field, what was given and what to do; the rest is read."""
    first = "" if line.startswith("pivot") else "pivot-to-spindle = 222\n"
    good = '[[deck]]\nname = "Good"\npivot-to-spindle = 222\n\n'
    text = f'{good}[[deck]]\nname = "Bad"\n{first}{line}\n'
    found = read_decks(write(tmp_path, "d.toml", text))
    assert [deck.name for deck in found.decks] == ["Good"]
    (fault,) = found.faults
    assert fault.error.name == field
    assert said in str(fault)
    last = len(text.splitlines())
    # what comes of two fields together is told at the deck or at either field
    assert fault.line in ((5, last - 1, last) if field == "pivot-to-spindle" else (5, last))
    assert fault.deck == "Bad"
    assert "\n" not in str(fault)


def test_every_fault_is_told(tmp_path: Path) -> None:
    """Three faults of one deck are three faults, each on its line."""
    text = '[[deck]]\npivot-to-spindle = 2\nscheme = "x"\n\nrpm = -3\n'
    found = read_decks(write(tmp_path, "d.toml", text))
    assert [(f.line, f.error.name) for f in found.faults] == [
        (1, "name"),
        (2, "pivot-to-spindle"),
        (3, "scheme"),
        (5, "rpm"),
    ]


def test_exact_optimum(tmp_path: Path) -> None:
    """A deck may ask for the true optimum: true in TOML, yes in CSV; not with radii of its own."""
    text = '[[deck]]\nname = "A"\npivot-to-spindle = 222\nexact = true\n'
    toml = read_decks(write(tmp_path, "d.toml", text)).decks[0]
    row = "name,pivot-to-spindle,exact,null-radii\nA,222,yes,\nB,222,yes,66 and 120\nC,222,1,\n"
    found = read_decks(write(tmp_path, "d.csv", row))
    assert found.decks == (toml,)
    assert [fault.error.name for fault in found.faults] == ["null-radii", "exact"]
    assert align(toml) == align(Deck(pivot_to_spindle_mm=222.0, exact=True))


STATED = """[[deck]]
name = "Contradictory"
pivot-to-spindle = "222.3±0.3"
effective-length = 239
overhang = 15.0
offset-angle = "23 deg"
linear-offset = 93.5

[[deck]]
name = "Consistent"
pivot-to-spindle = 222.0
effective-length = 239.3
overhang = "17.3"

[[deck]]
name = "New arm"
effective-length = "239.3"
"""


def test_statements(tmp_path: Path) -> None:
    """Statements are kept as written and checked; the held length alone decides the alignment."""
    found = read_decks(write(tmp_path, "d.toml", STATED))
    assert found.faults == ()
    odd, sound, new = found.decks
    assert "any one of pivot-to-spindle, overhang, effective-length may be wrong" in remark(odd)
    assert (remark(sound), remark(new)) == ("", "")
    assert align(odd).arm.pivot_to_spindle_mm == 222.3
    assert align(sound) == align(Deck(pivot_to_spindle_mm=222.0))
    assert align(new).arm.effective_length_mm == 239.3
    assert dict(odd.stated)["effective-length"] == "239"
    for name, text in (("e.toml", toml_text(found.decks)), ("e.csv", csv_text(found.decks))):
        again = read_decks(write(tmp_path, name, text))
        assert again.decks == found.decks
        assert [deck.stated for deck in again.decks] == [deck.stated for deck in found.decks]


def test_a_changed_deck_is_written_as_it_is_now(tmp_path: Path) -> None:
    """A length that was changed in the program is written, not the statement it came from."""
    deck = read_decks(write(tmp_path, "d.toml", STATED)).decks[0]
    changed = replace(deck, pivot_to_spindle_mm=230.0)
    assert read_decks(write(tmp_path, "e.toml", toml_text([changed]))).decks == (changed,)


def test_contradictions_are_told(run: Run) -> None:
    """Check and add tell of a contradiction as a note; it is no fault, and the deck is drawn."""
    Path("d.toml").write_text(STATED)
    ran = run("decks", "check", "d.toml")
    assert (ran.status, ran.out) == (0, "d.toml: 3 sound decks, 0 faults\n")
    assert ran.err == (
        "protractor: note: d.toml, line 1, deck 'Contradictory': statements contradict one "
        "another: any one of pivot-to-spindle, overhang, effective-length may be wrong\n"
    )
    added = run(
        *("decks", "add", "d.toml", "--name", "Odd", "--pivot-to-spindle", "222.0"),
        *("--effective-length", "239.3", "--overhang", "14.0"),
    )
    assert added.status == 0
    assert "contradict one another" in added.err
    remarks = json.loads(run("decks", "check", "d.toml", "--json").out)["remarks"]
    assert [remark["deck"] for remark in remarks] == ["Contradictory", "Odd"]


def test_names_shared(tmp_path: Path) -> None:
    """Two decks of one name, or of names that make one file name: both told, with both lines."""
    text = CSV + "Bench deck 1,230,,,\nbench_deck:2,230,,,\nÄnderung,230,,,\nänderung!,230,,,\n"
    found = read_decks(write(tmp_path, "d.csv", text))
    assert [deck.name for deck in found.decks] == ["Bench deck 3"]
    said = "\n".join(map(str, found.faults))
    assert "line 2, deck 'Bench deck 1': name: got Bench deck 1; allowed: a name of its own" in said
    assert "line 6 has the same" in said
    assert "line 7 has 'bench_deck:2', the same file name" in said
    assert len(found.faults) == 6


def test_comma_inside_a_number(tmp_path: Path) -> None:
    """A decimal comma without quotes between commas is told as what it is, not read as half."""
    found = read_decks(write(tmp_path, "d.csv", "name,pivot-to-spindle\nA,222,5\nB,222\n"))
    assert [deck.name for deck in found.decks] == ["B"]
    assert str(found.faults[0]) == (
        "line 2, deck 'A': row: got 3 cells under 2 names; allowed: a cell under each name; "
        'put quotes round a cell that has the separator in it, as in "222,5"'
    )


def test_a_faulty_deck_has_its_name_all_the_same(tmp_path: Path) -> None:
    """A second deck of the name of a faulty one is told at once, not when the first is mended."""
    rows = "name,pivot-to-spindle\nA,2220\n a ,222\nB,222\n"
    found = read_decks(write(tmp_path, "d.csv", rows))
    assert [deck.name for deck in found.decks] == ["B"]
    assert [(f.line, f.error.name) for f in found.faults] == [
        (2, "pivot-to-spindle"),
        (2, "name"),
        (3, "name"),
    ]


def test_long_names_that_differ_late(tmp_path: Path) -> None:
    """Long names that are alike at first are decks, and file names, of their own."""
    names = [f"The deck in the workshop at the far end of the yard, shelf {n}" for n in (1, 2)]
    names += ["♫" * 40 + "♪", "♫" * 40 + "♩"]
    rows = "name,pivot-to-spindle\n" + "".join(f'"{name}",222\n' for name in names)
    found = read_decks(write(tmp_path, "d.csv", rows))
    assert [deck.name for deck in found.decks] == names
    assert all(len(deck_stem(name)) <= 40 for name in names)


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("d.toml", b"", "an empty file"),
        ("d.csv", b"\xef\xbb\xbf \r\n", "an empty file"),
        ("d.csv", b"name,pivot-to-spindle\n", "got no deck"),
        ("d.csv", b"name,pivot to spindel\nA,222\n", "did you mean pivot-to-spindle?"),
        ("d.csv", b"name,pivot\nA,222\n", "did you mean pivot-to-spindle?"),
        ("d.csv", b"name,name\nA,222\n", "column name twice"),
        ("d.csv", b",,\n,,\n", "no column name"),
        ("d.csv", b"pivot-to-spindle\n222\n", "no column name"),
        ("d.csv", b'name,pivot-to-spindle\nA,222\n"B,222\n', "line 3"),
        ("d.csv", b"\x7fELF\x02\x01\x01\x00\x00", "binary data"),
        ("d.csv", bytes(range(256)), "binary data|no UTF-8"),
        ("d.csv", b"name,pivot-to-spindle\nB\xe4r,222\n", "line 2: a byte that is no UTF-8"),
        ("d.csv", b'name,pivot-to-spindle\n"' + b"x" * 200_000 + b'",222\n', "field larger"),
        ("d.toml", b"[[deck]]\nname = \n", "line 2"),
        ("d.toml", b'[[deck]]\nname = "A"\nname = "B"\n', "Cannot overwrite"),
        ("d.toml", b'[deck]\nname = "A"\n', "deck is no table"),
        ("d.toml", b"deck = 3\n", "deck is no table"),
        ("d.toml", b'title = "x"\n[[deck]]\nname = "A"\n', "line 1: title"),
        ("d.toml", b'[[decks]]\nname = "A"\n', "did you mean deck?"),
        ("d.toml", b"a = " + b"[" * 5000, "nested too deep|Invalid|Unclosed"),
        ("d.toml", b"a = " + b"9" * 5000, "line 1: a;"),
        ("d.json", b"{}", "a name with .json; allowed: one in .toml or .csv"),
        ("d", b"x", "a name with no ending"),
    ],
)
def test_what_is_no_file_of_decks(tmp_path: Path, name: str, content: bytes, said: str) -> None:
    """Empty, binary, broken and strange files: one sentence that says which and where."""
    with pytest.raises(InputError, match=said) as raised:
        read_decks(write(tmp_path, name, content))
    assert len(str(raised.value)) < 500
    assert "\n" not in str(raised.value)


def test_missing_file_and_folder(tmp_path: Path) -> None:
    """A file that is not there, and a folder of that name."""
    with pytest.raises(InputError, match="no such file"):
        read_decks(tmp_path / "none.csv")
    (tmp_path / "d.toml").mkdir()
    with pytest.raises(InputError, match="a folder"):
        read_decks(tmp_path / "d.toml")


ROWS = tries(100_000, 10)


def test_tens_of_thousands_of_rows(tmp_path: Path) -> None:
    """A long list is read whole, and a fault near its end is found on its line."""
    rows = [f"Deck {i},{150 + i % 300}" for i in range(ROWS)]
    rows[-10] = "Deck off the scale,1500"
    found = read_decks(write(tmp_path, "d.csv", "name,pivot-to-spindle\n" + "\n".join(rows)))
    assert len(found.decks) == ROWS - 1
    assert [fault.line for fault in found.faults] == [ROWS - 8]


NAMES = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]),
    min_size=1,
    max_size=40,
).filter(lambda name: " ".join(name.split()) == name)
DECKS = st.builds(
    Deck,
    name=NAMES,
    pivot_to_spindle_mm=st.floats(130.0, 490.0),
    scheme=st.none() | st.sampled_from(list(SCHEMES)),
    record=st.none() | st.sampled_from(["12", "10", "7", "12-riaa-1963"]),
    rpm=st.none() | st.floats(10.0, 120.0),
    velocity_cm_s=st.none() | st.floats(0.1, 100.0),
    paper=st.none() | st.sampled_from(["a4", "letter"]),
    printer=st.none() | st.just("workshop"),
    notes=st.none() | NAMES,
)


@given(st.lists(DECKS, min_size=1, max_size=5, unique_by=lambda deck: deck_stem(deck.name)))
@settings(max_examples=60)
def test_written_files_read_back(decks: list[Deck]) -> None:
    """TOML and CSV, with points and with commas, give the same decks to the last digit."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        for name, text in (
            ("d.toml", toml_text(decks)),
            ("d.csv", csv_text(decks)),
            ("e.csv", csv_text(decks, semicolons=True)),
        ):
            found = read_decks(write(Path(folder), name, text))
            assert found.faults == ()
            assert list(found.decks) == decks


@given(NAMES)
def test_file_names_are_safe(name: str) -> None:
    """Any name makes a file name that every system takes: letters, digits, hyphens, never empty."""
    stem = deck_stem(name)
    assert 0 < len(stem.encode()) <= 250
    assert all(c.isalnum() or c == "-" or not c.isascii() for c in stem)
    assert not stem.startswith(("-", "."))


@given(st.dictionaries(st.sampled_from([*FIELDS, "x"]), st.text(max_size=12) | st.floats()))
def test_any_fields_give_a_deck_or_faults(given_fields: dict[str, object]) -> None:
    """Whatever the fields hold, the answer is a deck or sentences, never another error."""
    deck, faults = read_deck(given_fields)
    assert (deck is None) == bool(faults)


def test_commands(run: Run) -> None:
    """Add, check, list, export, and back: the same decks; comments of a TOML file stay."""
    add = ("decks", "add", "bench.toml", "--name")
    assert run(*add, "Bench deck 1", "--pivot-to-spindle", "222").status == 0
    path = Path("bench.toml")
    path.write_text("# my bench\n" + path.read_text())
    added = run(*add, "Bench deck 2", "--pivot-to-spindle", "8 3/4in", "--notes", "no maker")
    assert added.out == "bench.toml: added Bench deck 2\n"
    assert path.read_text().startswith("# my bench\n[[deck]]\n")
    assert [table["name"] for table in tomllib.loads(path.read_text())["deck"]] == [
        "Bench deck 1",
        "Bench deck 2",
    ]
    check = run("decks", "check", "bench.toml")
    assert (check.status, check.out) == (0, "bench.toml: 2 sound decks, 0 faults\n")
    listed = run("decks", "list", "bench.toml")
    assert "Bench deck 2" in listed.out
    assert "222.25" in listed.out
    assert max(map(len, listed.out.splitlines())) <= 80
    assert run("decks", "export", "bench.toml", "-o", "bench.csv", "--semicolons").status == 0
    assert "Bench deck 2;8 3/4in;no maker" in Path("bench.csv").read_text()
    assert (
        run("decks", "add", "bench.csv", "--name", "Third", "--effective-length", "240").status == 0
    )
    said = json.loads(run("decks", "list", "bench.csv", "--json").out)
    assert [deck["name"] for deck in said] == ["Bench deck 1", "Bench deck 2", "Third"]
    assert said[0]["alignment"]["overhang_mm"] == pytest.approx(17.30, abs=0.01)


def test_commands_that_refuse(run: Run) -> None:
    """A name that is there, a deck that cannot be, a faulty file: told, and no file changed."""
    run("decks", "add", "bench.toml", "--name", "One", "--pivot-to-spindle", "222")
    before = Path("bench.toml").read_bytes()
    for words, said in (
        (
            ("add", "bench.toml", "--name", "one!", "--pivot-to-spindle", "222"),
            "the same file name",
        ),
        (("add", "bench.toml", "--name", " ", "--pivot-to-spindle", "222"), "name the deck"),
        (("add", "bench.toml", "--name", "Two"), "got neither length"),
        (("add", "bench.toml", "--pivot-to-spindle", "222"), "--name"),
        (("add", "none/bench.toml", "--name", "x", "--pivot-to-spindle", "222"), "make the folder"),
        (("export", "bench.toml", "-o", "x.json"), "one in .toml or .csv"),
        (("check", "nothing.csv"), "no such file"),
    ):
        ran = run("decks", *words)
        assert (ran.status, ran.files) == (2, ["bench.toml"])
        assert said in ran.err
        assert Path("bench.toml").read_bytes() == before
    Path("taken.csv").write_text("name\n")
    taken = run("decks", "export", "bench.toml", "-o", "taken.csv")
    assert (taken.status, Path("taken.csv").read_text()) == (2, "name\n")
    assert "--force" in taken.err
    Path("bad.csv").write_text("name,rpm\nA,1\nB,2\n")
    ran = run("decks", "export", "bench.toml", "-o", "bad.csv")
    assert ran.status == 2
    assert "kept it; say --force" in ran.err
    ran = run("decks", "check", "bad.csv", "--json")
    assert ran.status == 2
    assert [f["line"] for f in json.loads(ran.out)["faults"]] == [2, 3]
    assert "bad.csv, line 2, deck 'A': rpm: got '1'" in ran.err
    assert run("decks", "export", "bad.csv", "-o", "good.csv").status == 2
    assert not Path("good.csv").exists()


def mutated(data: bytes, chance: random.Random) -> bytes:
    """The bytes with one to four random changes: bits, cuts, repeats, swaps, odd pieces."""
    odd = [
        b'"',
        b"'''",
        b'"""',
        b"\x00",
        b"\xff",
        b"[[",
        b"]]",
        b"=",
        b"\r",
        b"\n",
        b",",
        b";",
        b"9" * 40,
    ]
    odd += [
        b"nan",
        b"inf",
        b"-",
        b"\xef\xbb\xbf",
        "–½".encode(),
        b"[[deck]]\n",
        b"{",
        b"1e999",
        b"\\u12",
    ]
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(data) + 1)
        to = min(len(data), at + chance.randint(1, 12))
        kind = chance.randrange(6)
        if kind == 0 and at < len(data):
            data = data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :]
        elif kind == 1:
            data = data[:at] + data[to:]
        elif kind == 2:
            data = data[:at] + data[at:to] * 2 + data[to:]
        elif kind == 3:
            data = data[:at] + chance.choice(odd) + data[at:]
        elif kind == 4:
            data = data[:at]
        else:
            other = chance.randrange(len(data) + 1)
            data = data[:other] + data[at:to] + data[other:]
    return data


FUZZED = {"d.toml": TOML + STATED, "d.csv": CSV}


@pytest.mark.parametrize("name", FUZZED)
def test_fuzz(name: str) -> None:
    """Random mutations of each kind of file: decks or sentences of one line, no more."""
    chance = random.Random(f"decks {name}")
    read = refused = 0
    for _ in range(tries(20_000)):
        data = mutated(FUZZED[name].encode(), chance)
        try:
            found = decks_of(data, Path(name))
            read += 1
            told = [str(fault) for fault in found.faults]
            assert all(fault.line >= 1 for fault in found.faults)
        except InputError as error:
            refused += 1
            told = [str(error)]
        assert not any("\n" in line or len(line) > 800 for line in told)
    assert min(read, refused) > tries(2000)


@pytest.mark.parametrize("name", FUZZED)
def test_fuzz_of_commands(run: Run, name: str) -> None:
    """Commands on mutated files: exit status 0 or 2, words for a user, and no file changed."""
    chance = random.Random(f"commands {name}")
    path = Path(name)
    for turn in range(tries(200, 8)):
        data = mutated(FUZZED[name].encode(), chance)
        path.write_bytes(data)
        add = ("add", name, "--name", "New", "--pivot-to-spindle", "222")
        ran = run("decks", *(("check", name), ("list", name), add)[turn % 3])
        assert ran.status in (0, 2)
        assert "Traceback" not in ran.err
        notes = "protractor: note: "
        faults = [line for line in ran.err.splitlines() if not line.startswith(notes)]
        assert bool(faults) == (ran.status == 2)
        assert ran.files == [name]
        if turn % 3 != 2 or ran.status == 2:
            assert path.read_bytes() == data
        else:
            assert any(deck.name == "New" for deck in read_decks(path).decks)


BEYOND_MEASURE = (
    "9" * 400,
    "9" * 5000,
    "-" + "9" * 5000,
    "0x" + "f" * 5000,
    "1e400",
    "1e-320",
    "nan",
    "-inf",
    f'"{"9" * 400}"',
    f'"3 {"9" * 400}/1"',
    '"1/0"',
    '"0e999"',
    f'"222±{"9" * 400}"',
    f'"{"x" * 5000}"',
)


@pytest.mark.parametrize("cell", BEYOND_MEASURE)
@pytest.mark.parametrize("field", ["pivot-to-spindle", "overhang", "rpm", "paper", "null-radii"])
def test_one_bad_cell_is_one_bad_deck(tmp_path: Path, field: str, cell: str) -> None:
    """A number that none can be: one short line with its place, and the other decks go on."""
    pivot = "" if field == "pivot-to-spindle" else "pivot-to-spindle = 222\n"
    found = read_decks(
        write(
            tmp_path,
            "d.toml",
            f'[[deck]]\nname = "A"\npivot-to-spindle = 222\n'
            f'[[deck]]\nname = "B"\n{field} = {cell}\n{pivot}'
            f'[[deck]]\nname = "C"\npivot-to-spindle = 230\n',
        )
    )
    assert [deck.name for deck in found.decks] == ["A", "C"]
    [fault] = found.faults
    assert (fault.line, fault.deck, fault.error.name) == (6, "B", field)
    assert len(str(fault)) < 400


@pytest.mark.parametrize("cell", [text.strip('"') for text in BEYOND_MEASURE])
def test_one_bad_cell_in_a_row(tmp_path: Path, cell: str) -> None:
    """The same in a CSV file."""
    text = f'name,pivot-to-spindle\nA,222\nB,"{cell}"\nC,230\n'
    found = read_decks(write(tmp_path, "d.csv", text))
    assert [deck.name for deck in found.decks] == ["A", "C"]
    assert [fault.line for fault in found.faults] == [3]


@pytest.mark.parametrize("name", ["9" * 5000, "0x" + "f" * 5000, '["' + "x" * 5000 + '"]', "{a=1}"])
def test_a_name_that_is_none(tmp_path: Path, name: str) -> None:
    """A name that is a number of thousands of digits, a list or a table is a fault like others."""
    found = read_decks(write(tmp_path, "d.toml", f"[[deck]]\nname = {name}\n"))
    assert {fault.error.name for fault in found.faults} == {"name"}
    assert all(len(str(fault)) < 400 and len(fault.deck) <= 80 for fault in found.faults)


def test_digits_in_a_text_stay(tmp_path: Path) -> None:
    """A note of a thousand digits beside a number that is cut is the note that was written."""
    note = "1" * 1000
    text = f'[[deck]]\nname = "A"\npivot-to-spindle = 222\nnotes = "{note}"\n'
    text += f'[[deck]]\nname = "B"\nrpm = {"9" * 5000}\n'
    [deck] = read_decks(write(tmp_path, "d.toml", text)).decks
    assert deck.notes == note


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("d.toml", b'[[deck]]\nname = "' + b"x" * 50_000_000 + b'"\n', "over 8,000,000 bytes"),
        ("d.csv", b"name\n" + b"x" * 50_000_000 + b"\n", "over 8,000,000 bytes"),
        ("d.toml", b"[[deck]]\n" + b"a." * 500_000 + b"b = 1\n", "line 2: a name with many dots"),
        ("d.toml", b"[[deck]]\n" + b'"a" . ' * 50_000 + b"b = 1\n", "line 2: a name with many"),
        ("d.toml", b"[[deck]]\na = {" + b"a." * 50_000 + b"b = 1}\n", "line 2: a name with many"),
    ],
)
def test_files_without_measure(tmp_path: Path, name: str, content: bytes, said: str) -> None:
    """Files larger than a list of decks, and names with dots without end, are refused unread."""
    with pytest.raises(InputError, match=said):
        read_decks(write(tmp_path, name, content))


@pytest.mark.parametrize("mark", ['"', '"' * 3, "'" * 3])
def test_a_text_of_megabytes(tmp_path: Path, mark: str) -> None:
    """A text that is far too long is the fault of its field; dots in a text are letters."""
    text = f"[[deck]]\nname = 'A'\npivot-to-spindle = 222\nnotes = {mark}{'x.y' * 10**6}{mark}\n"
    text += "[[deck]]\nname = 'B'\npivot-to-spindle = 222\nnotes = '1.2.3.4.5.6.7.8.9.10.11.12'\n"
    found = read_decks(write(tmp_path, "d.toml", text))
    assert [deck.name for deck in found.decks] == ["B"]
    [fault] = found.faults
    assert (fault.line, fault.error.name, fault.error.got) == (4, "notes", "3000000 characters")


FORMULAS = ("=1+1", "+1+1", "-1+1", "@A1", "'=1+1", "''=", "＝1", '=HYPERLINK("x","y")', "-", "=")


@pytest.mark.parametrize("semicolons", [False, True])
def test_a_spreadsheet_computes_nothing(tmp_path: Path, semicolons: bool) -> None:
    """Names and notes that begin as a formula does are written as text, and read back the same.

    Which beginnings count: OWASP, 'CSV Injection'. Numbers stay numbers, negative ones too.
    """
    decks = [
        Deck(
            name=f"{text} {at}",
            pivot_to_spindle_mm=222.0,
            notes=text,
            stated=(("overhang", "-15"), ("linear-offset", "-93.5±0.5")),
        )
        for at, text in enumerate((*FORMULAS, "-5", "+5", "'tis", "a=1"))
    ]
    text = csv_text(decks, semicolons=semicolons)
    rows = list(csv.reader(text.splitlines(), delimiter=";" if semicolons else ","))
    number = re.compile(r"[-+]?[0-9.,]+")
    for cell in (cell for row in rows for cell in row):
        assert cell[:1] not in tuple("=+-@\t\r＝") or number.fullmatch(cell)
    assert {row[rows[0].index("overhang")] for row in rows[1:]} == {"-15"}
    found = read_decks(write(tmp_path, "d.csv", text))
    assert found.faults == ()
    assert [(d.name, d.notes) for d in found.decks] == [(d.name, d.notes) for d in decks]
    assert {dict(d.stated)["linear-offset"] for d in found.decks} == {"-93.5±0.5"}


def test_fields_are_listed(run: Run) -> None:
    """Every field with what it takes, at 80 columns, and the same as JSON."""
    ran = run("decks", "fields")
    assert max(map(len, ran.out.splitlines())) <= 80
    fields, _, data_sheets = ran.out.partition("\n\n")
    listed = [line.split()[0] for line in fields.splitlines() if not line.startswith(" ")]
    assert listed == list(FIELDS)
    assert "[deck.cartridge], [deck.arm] and [deck.stage]" in " ".join(data_sheets.split())
    assert [row["name"] for row in json.loads(run("decks", "fields", "--json").out)] == listed
