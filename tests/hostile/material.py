"""What a hostile or unlucky user gives: values, cells, names and files, from a seeded source.

Every name, deck and number is invented.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path
from random import Random

NUMBERS = (
    "9" * 400,
    "1/" + "9" * 400,
    "9" * 400 + "/3",
    "3 " + "9" * 400 + "/1",
    "1/0",
    "9" * 5000,
    "-" + "9" * 5000 + "/7",
    "0e999",
    "9e999",
    "1e-320",
    "0.0000000000001",
    "222e-999",
    "0x" + "f" * 300,
    "nan",
    "inf",
    "-inf",
    "1e5",
    "-1",
    "0",
    "-0.0",
    "",
    " ",
    "222,5",
    "222.5.5",
    "8 3/4 in",
    "222±0e999",
    "222±" + "9" * 400,
    "237±nan",
    "237±1/0",
    "237±±1",
    "237±1e-320",
    "²²²",
    "٢٢٢",
    "66:0e999",
    "66.0:" + "9" * 400,
    "12:" + "9" * 400,
    "12:0e999",
    "12@0e999:100",
    "58-" + "9" * 400 + ":30",
    "9" * 400 + "x297mm",
    "210x0mm",
    "1e999x1e999mm",
    "66",
    "66.0000001",
    "120.9",
    "33 1/3",
)
"""Numbers as nobody should write them, and a few that somebody does."""

ODD = "".join(
    chr(code)
    for code in (
        *range(1, 0x20),
        *range(0x7F, 0xA0),
        0x61C,
        0x200B,
        *range(0x200E, 0x2010),
        *range(0x2028, 0x202F),
        *range(0x2066, 0x206A),
        0xFEFF,
        0xFFF9,
        0xFFFE,
        0xFFFF,
        0xE0001,
        0xE0041,
    )
)
"""Characters that a terminal, a reader or a file format obeys instead of showing."""

TEXTS = (
    "Bench deck",
    "Прибор № 1",
    "עריסה",
    "♫",
    "\x1b[31mred\x1b[0m",
    "\x1b]0;title\x07",
    "abc\u202egnp.exe",
    "a\u2066b\u2069c\u200fd\u061c",
    "\x9b2J",
    "a\ufffeb\uffffc",
    "half a pair \ud800",
    "raw byte \udcff",
    "line\nbreak\r\nand tab\t.",
    "^J^I^M%%d%%c\\P{}\\U+0041",
    "=1+1",
    "@SUM(A1)",
    "+1",
    "-5",
    "\t=1",
    "'quoted",
    '"; <script>&amp;]]>',
    "--help",
    "-",
    "a" * 80,
    "a" * 81,
    "x" * 5000,
    "../../etc",
    "a/b",
    "CON",
    ".",
    "%s %d {0} {name}",
    "$(true) `true`",
    *ODD,
)

SOUND = {
    "pivot-to-spindle": ("222", "8 3/4 in", "180", "400", "120", "222.3±0.3"),
    "effective-length": ("239", "230.5", "310", "237±0.2"),
    "overhang": ("17", "15.0±0.2", "0", "-15"),
    "scheme": ("lofgren-a", "lofgren-b", "lofgren-c", "stevenson", "equal-angle", "null-radii"),
    "record": ("12", "10", "7", "12-riaa-1963", "12-iec-1987", "12-din-trade"),
    "inner-radius": ("55", "60", "100", "120"),
    "outer-radius": ("60", "100.0001", "146", "190"),
    "null-radii": ("63", "66", "66.000001", "66.00000001", "119", "58", "0", "150"),
    "rpm": ("33", "45", "78", "10"),
    "velocity": ("5", "10"),
    "velocity-is": ("peak", "rms"),
    "signal": ("1000", "20000"),
    "replay-slope": ("3.9", "0"),
    "play": ("12:80", "7:20", "58-146:30", "10@78:100", "12:100"),
    "held": ("pivot-to-spindle", "effective-length", "offset-angle"),
    "offset-angle": ("0", "22", "-20", "45", "22.99deg"),
    "overhang-range": ("-30", "-20", "-16", "10", "12", "17", "100"),
    "offset-range": ("-59", "-1", "0", "20", "24", "59"),
    "norm": ("peak", "rms"),
    "weight": ("radius", "none"),
    "null-at": ("60.325", "100", "146.05", "30"),
    "zenith": ("2", "-10"),
    "kind": ("arc", "two-null"),
    "paper": ("a4", "letter", "a3", "a5", "210x297mm", "100x100mm", "2000x2000mm"),
    "clear-margin": ("5", "0", "30"),
    "format": ("pdf", "svg", "dxf"),
    "text": ("outline", "text"),
    "colours": ("black", "layers", "cut=#ff0000"),
    "reading": ("66.0:-0.5", "120.9:0.25", "66:0", "66.0000001:0", "58-9:1"),
    "reading-bound": ("0.25",),
    "statement": ("overhang",),
    "linear-offset": ("93.5",),
    "sheet": ("template", "plate", "board"),
    "processes": ("1",),
    "exact": ("yes", "no"),
    "x": ("150", "149.2", "150.1"),
    "y": ("150", "149.9", "150.3"),
    "rising": ("150", "150.02"),
    "falling": ("150", "149.98"),
    "instrument": ("calipers", "steel-rule", "ruler", "glass"),
    "marks": ("ends", "150"),
    "draws": ("1000", "2000"),
    "seed": ("0", "7"),
    "stock": ("100", "300", "3000"),
    "kerf": ("0.2", "0", "10"),
    "now-overhang": ("17", "-100", "100"),
    "now-offset": ("22.5", "0", "59.9"),
    "side-minutes": ("23", "0.5"),
    "x-axis": ("radius", "time"),
}
"""Values by option that are sound by themselves, though perhaps not together."""

OUTPUTS = (
    "new.pdf",
    "new.svg",
    "new.dxf",
    "new.png",
    "new.toml",
    "new.csv",
    "new",
    "none/new.pdf",
    "loop.pdf",
    "pipe.pdf",
    "folder",
    "zero",
    "bench.csv",
    "\u202enew.pdf",
    "ne\x1b[31mw.svg",
    "ne\nw.pdf",
    "n" * 300 + ".pdf",
)
LOGS = ("new.jsonl", "good.jsonl", "wild.jsonl", "nested.jsonl", "loop", "pipe", "zero", "folder")
PROFILES = (
    "printers.toml",
    "wild-printers.toml",
    "nested.toml",
    "loop",
    "pipe",
    "zero",
    "folder",
    "none.toml",
    "dangling.toml",
    "pr\x1b[31m.toml",
)
DECKS = (
    "bench.toml",
    "bench.csv",
    "wild.toml",
    "wild.csv",
    "nested.toml",
    "dotted.toml",
    "long.toml",
    "loop.toml",
    "pipe.toml",
    "zero.toml",
    "folder.toml",
    "none.toml",
    "de\x1b[31mck.toml",
    "de\nck.csv",
    "\u202edeck.csv",
)
PATHS = (*OUTPUTS, *LOGS, *PROFILES, *DECKS, "/dev/full", "/dev/null", "\udcff.pdf")


def value(random: Random, name: str, sound: float = 0.6) -> str:
    """A value for an option or field: a share of them sound by itself, the rest hostile."""
    known = SOUND.get(name, ())
    if known and random.random() < sound:
        return random.choice(known)
    return random.choice(TEXTS if random.random() < 0.4 else NUMBERS)


def _toml_value(random: Random, name: str) -> str:
    kind = random.randrange(10)
    if kind == 0:
        return random.choice(
            ("9" * 5000, "-" + "9" * 400, "1e400", "1e-320", "nan", "-inf", "0x" + "f" * 5000)
        )
    if kind == 1:
        return random.choice(
            ("[]", "[[[]]]", "{}", "true", "1979-05-27", "07:32:00", "[1, 'a', {}]")
        )
    if kind == 2 and name == "null-radii":
        return f"[{value(random, name)}, {value(random, name)}]"
    text = value(random, name)
    # a surrogate has no UTF-8; files hold it only as broken bytes, which come in another way
    return json.dumps(text.encode("utf-8", "replace").decode(), ensure_ascii=False).replace(
        "\x7f", "\\u007f"
    )


def toml_decks(random: Random, fields: Sequence[str]) -> bytes:
    """A file of decks with a few sound ones and hostile fields."""
    lines = []
    for number in range(random.randrange(1, 4)):
        lines += ["[[deck]]", f'name = "Deck {number}"']
        lines.append(f"pivot-to-spindle = {_toml_value(random, 'pivot-to-spindle')}")
        for name in random.sample(fields, random.randrange(4)):
            lines.append(f"{name} = {_toml_value(random, name)}")
    return _spoilt(random, "\n".join(lines).encode(errors="surrogatepass"))


def csv_decks(random: Random, fields: Sequence[str]) -> bytes:
    """A CSV file of decks with hostile cells."""
    names = ["name", "pivot-to-spindle", *random.sample(fields, random.randrange(5))]
    separator = random.choice(",;\t")
    rows = [separator.join(names)]
    for number in range(random.randrange(1, 4)):
        cells = [f"Deck {number}" if random.random() < 0.7 else value(random, "title")]
        cells += [value(random, name) for name in names[1:]]
        rows.append(separator.join('"' + cell.replace('"', '""') + '"' for cell in cells))
    return _spoilt(random, "\n".join(rows).encode("utf-8", "replace"))


def _spoilt(random: Random, data: bytes) -> bytes:
    """The bytes as they are, or with a few of them changed, cut or repeated."""
    if random.random() < 0.75:
        return data
    spoilt = bytearray(data)
    for _ in range(random.randrange(1, 4)):
        at = random.randrange(len(spoilt) + 1)
        spoilt[at : at + random.randrange(3)] = random.choice(
            (b"", b"\0", b"\xff", b"[[", b'"', b"\x1b", b"\xe2\x80\xae", b"9" * 5000)
        )
    return bytes(spoilt)


def log(random: Random) -> bytes:
    """A log of rounds, tampered with."""
    entries = ['{"round": 1}', '{"round": ' + "9" * 5000 + "}", "[" * 5000, '{"round": NaN}', "{}"]
    lines = "\n".join(random.choices(entries, k=2)) + "\n"
    return _spoilt(random, lines.encode(errors="surrogatepass"))


def fixed_files(printers: bytes) -> dict[str, bytes]:
    """The files that every run finds beside it: sound, tampered with, and endless."""
    return {
        "bench.toml": b'[[deck]]\nname = "One"\npivot-to-spindle = 222\n',
        "bench.csv": "name,pivot-to-spindle,notes\nÉtabli,222,=1+1\nTwo,230,-5\n".encode(),
        "printers.toml": printers,
        "good.jsonl": b'{"round": 1}\n',
        "nested.jsonl": b'{"round": ' + b"[" * 100_000 + b"\n",
        "nested.toml": b"a = " + b"[" * 5000,
        "dotted.toml": b"[[deck]]\n" + b"a." * 50_000 + b"b = 1\n",
        "long.toml": b'[[deck]]\nname = "' + b"x" * 300_000 + b'"\n',
        "de\x1b[31mck.toml": b'[[deck]]\nname = "One"\n',
        "de\nck.csv": b"name,pivot-to-spindle\nOne,222\n",
        "\u202edeck.csv": b"name,pivot-to-spindle\nOne,22\n",
        "pr\x1b[31m.toml": b"format = 99\n",
    }


def wild_files(random: Random, printers: bytes, fields: Sequence[str]) -> dict[str, bytes]:
    """The files that are new for every run."""
    spoilt = bytearray(printers)
    for _ in range(random.randrange(1, 4)):
        at = random.randrange(len(spoilt) + 1)
        spoilt[at : at + random.randrange(6)] = random.choice(
            (b"", b"9" * 400, b"9" * 5000, b"nan", b"-", b'"', b"\\u001b", b"\xe2\x80\xae", b"e999")
        )
    return {
        "wild.toml": toml_decks(random, fields),
        "wild.csv": csv_decks(random, fields),
        "wild.jsonl": log(random),
        "wild-printers.toml": bytes(spoilt),
    }


def set_traps(folder: Path) -> None:
    """Links that lead nowhere or round, a pipe nobody writes to, a device without end, a folder."""
    for name in ("loop", "loop.toml", "loop.pdf"):
        os.symlink(name, folder / name)
    for name in ("dangling.toml", "dangling.pdf"):
        os.symlink("nowhere/" + name, folder / name)
    for name in ("pipe", "pipe.toml", "pipe.pdf"):
        os.mkfifo(folder / name)
    for name in ("zero", "zero.toml"):
        os.symlink("/dev/zero", folder / name)
    (folder / "folder").mkdir()
    (folder / "folder.toml").mkdir()
