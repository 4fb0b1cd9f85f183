"""The cases of the freeze as plain data: command lines as a user types them, without the program.

Every deck, printer and reading is invented.
"""

from __future__ import annotations

from itertools import product

DECK = "--pivot-to-spindle 222"
PLAY = "--play 12:80 --play 7:20"
TWO = "--reading 66.0:2.5 --reading 120.9:1.5"
PAPERS = ("a4", "letter", "legal", "a3", "tabloid", "a5", "220x300mm")
FORMATS = ("pdf", "svg", "dxf")
SCHEMES = ("lofgren-a", "lofgren-b", "lofgren-c", "stevenson", "equal-angle")
RECORDS = (
    *("12", "10", "7", "12-iec-1958", "12-riaa-1963", "12-din-1981", "12-din-trade"),
    *("12-iec-1987", "12-jis-1973", "10-iec-1987", "10-jis-1973", "7-iec-1987", "7-jis-1973"),
)
RAW = (
    "--instrument calipers --x 149.23 --x 149.25 --x 149.24 --y 150.30 --y 150.32 --y 150.31"
    " --rising 150.10 --rising 150.12 --rising 150.11"
    " --falling 149.75 --falling 149.76 --falling 149.77"
)
TRUE = (
    "--instrument calipers --x 150.02 --x 150.01 --x 150.02 --y 149.99 --y 150.00 --y 149.98"
    " --rising 150.00 --rising 150.01 --rising 150.00"
    " --falling 150.01 --falling 150.00 --falling 150.01"
)
SQUARE = "--instrument calipers --x 150.0 --y 150.0 --rising 150.0 --falling 150.0"
DATED = "--tray upper --orientation landscape --date 2026-03-31"

FILES = {
    "bench.toml": """\
# an invented bench
[[deck]]
name = "Bench deck 1, nine-inch arm (invented)"
pivot-to-spindle = 215.0        # mm
paper = "letter"
notes = "new belt"

[[deck]]
name = "Bench deck 2 (invented)"
pivot-to-spindle = "8 3/4 in"
scheme = "lofgren-b"
exact = "yes"
effective-length = 237
overhang = "12.0±0.2"

[[deck]]
name = "Bench deck 3, to be mounted (invented)"
effective-length = 312.5
null-radii = [63, 119]
rpm = 45
velocity = 7
velocity-is = "rms"
""",
    "bench.csv": """\
name;pivot-to-spindle;scheme;record;paper;notes
Bench deck 4;229,5;stevenson;7;a4;"read; twice"
Bench deck 5;300;equal-angle;12-din-1981;a3;
Bench deck 4;230;;;;
Bench deck 6;3;;;;
Bench deck 7;222;;;a44;
Bench deck 8;500;;;a5;
""",
    "one.csv": "name,pivot-to-spindle\nBench deck 9,222\nBench deck 10,240\n",
    "with-printer.csv": "name,pivot-to-spindle,printer\nBench deck 11,222,desk\n",
    "broken.toml": '[[deck]]\nname = "Bench deck 12\n',
    "damaged.toml": "[[printer]]\nname = 3\n",
    "taken.pdf": "not to be replaced\n",
    "diary.txt": "my diary\n",
}
"""What lies in every case's folder before its first command."""

CASES: dict[str, tuple[str, ...]] = {}
"""Each case: its name, and its command lines, which run one after the other in one folder."""


def _each(group: str, lines: list[str], before: tuple[str, ...] = ()) -> None:
    """One case a line, named by its group and the line itself; the lines `before` run first."""
    for line in lines:
        CASES[f"{group}: {line}"] = (*before, line)


# sheets: every kind on every paper, in every format
SHEETS = {
    f"template {DECK}": PAPERS,
    f"template {DECK} --zenith 1.5": PAPERS,
    f"template {DECK} --exact": PAPERS,
    "template --pivot-to-spindle 240 --straight": PAPERS,
    "template --kind two-null": PAPERS,
    f"template --kind two-null {DECK} --scheme stevenson --zenith -2 --title 'A deck'": PAPERS,
    "gauge pivot": PAPERS,
    "gauge pivot --start 190": PAPERS,
    "gauge board --effective-length 239.3": PAPERS,
    "printer sheet": PAPERS,
    "template --effective-length 239.3 --record 7 --scheme equal-angle": ("a4", "a3"),
    f"template {DECK} --null-radii 63 119 --clear-margin 5mm --title 'Станок 響 é'": ("a4", "a5"),
    f"gauge board {DECK} --slots 0 --mount 30mm --title Board": ("a4", "a3"),
}
_each(
    "sheet",
    [
        f"{sheet} --paper {paper} --format {form}" + (" --text text" if form == "dxf" else "")
        for sheet, papers in SHEETS.items()
        for paper, form in product(papers, FORMATS)
    ],
)
_each(
    "outlined",
    [
        f"{sheet} -o x.dxf"
        for sheet in (
            *(f"template {DECK}", "template --kind two-null", "gauge pivot", "printer sheet"),
            *("gauge board --effective-length 239.3", "gauge kerf", f"gauge plate {DECK}"),
        )
    ],
)
_each(
    "cut",
    [
        f"gauge {gauge} --format {form}"
        for gauge, form in product(
            (
                *(
                    "kerf",
                    "kerf --kerf 0.18",
                    f"plate {DECK}",
                    f"plate {DECK} --kerf 0.18 --mirror",
                ),
                f"plate {DECK} --notch 25 --stock 200 350 --hole 7.4 --thickness 5 --title Plate",
                f"plate {DECK} --exact --text text --colours layers",
                "plate --effective-length 312.5 --colours cut=#ff0000,engrave=#0000ff",
            ),
            FORMATS,
        )
    ],
)
_each(
    "pack",
    [f"pack {DECK} --paper {paper}" for paper in PAPERS]
    + [f"pack --kind two-null --paper {paper}" for paper in PAPERS]
    + [
        f"pack {DECK} --exact {PLAY} --zenith 1 --title 'Left bench' --json",
        "pack --pivot-to-spindle 240 --straight -o x.pdf",
        "pack --kind two-null --title テスト",
    ],
)
_each(
    "sheet as json",
    [
        f"{line} --json"
        for line in (
            *(f"template {DECK}", "template --kind two-null --paper a5", "gauge pivot"),
            *(f"gauge plate {DECK}", "gauge kerf", "gauge board --effective-length 239.3"),
            *("printer sheet", f"template {DECK} --exact --paper a3", "gauge pivot --start 190"),
        )
    ],
)
_each(
    "corrected",
    [
        f"{sheet} --printer desk --paper {paper} {more}".strip()
        for (sheet, more), paper in product(
            {
                f"template {DECK}": "--json",
                f"template {DECK} --zenith 1.5 -o x.pdf": "",
                "template --kind two-null": "",
                "gauge pivot": "--json",
                "gauge board --effective-length 239.3": "",
                "printer sheet": "--json",
                f"pack {DECK}": "",
                f"pack {DECK} -o y.pdf": "--json",
            }.items(),
            ("a4", "letter"),
        )
    ],
    before=(
        f"printer record desk {RAW} {DATED}",
        f"printer record desk {RAW} --paper letter",
    ),
)

# numbers
DECKS = (
    *(DECK, "--effective-length 239.3", "--pivot-to-spindle 8.74in", "--pivot-to-spindle 150"),
    *("--pivot-to-spindle '8 3/4 in' --inner-radius 58 --outer-radius 14.6cm",),
)
EXACT = (
    *(f"{DECK} --scheme {scheme}" for scheme in SCHEMES),
    "--effective-length 239.3",
    f"--held effective-length {DECK} --effective-length 239",
    *(f"{DECK} --held offset-angle --offset-angle {angle}" for angle in (0, 20, 23.5)),
    "--effective-length 239.3 --held offset-angle --offset-angle 22",
    *(f"{DECK} --held {held}" for held in ("pivot-to-spindle", "effective-length", "offset-angle")),
    f"{DECK} --overhang-range 10 16",
    f"{DECK} --offset-range 18 22",
    f"{DECK} --overhang-range 10 17 --offset-range 23.5 25",
    f"{DECK} --overhang-range 80 90",
    *(f"{DECK} --norm {n} --weight {w}" for n, w in product(("peak", "rms"), ("radius", "none"))),
    f"{DECK} --norm rms --null-at 60.325",
    f"{DECK} --null-at 63",
    f"{DECK} {PLAY}",
    f"{DECK} --play 58-146:30 --play 10@78:20 --play 12:50 --scheme lofgren-b",
)
STATED = (
    *(f"--signal {hertz}" for hertz in (100, 1000, 10000)),
    *("--replay-slope 3.9", "--velocity 7.07 --velocity-is rms", "--rpm 45", "--rpm '33 1/3'"),
    *(PLAY, "--play 58-146:30 --play 7@45:70"),
)
SOLVE = [
    *(f"{deck} --scheme {scheme}" for deck, scheme in product(DECKS, SCHEMES)),
    *(f"{DECK} --null-radii {radii}" for radii in ("63 119", "66 120.9")),
    *(f"{DECK} --record {record}" for record in RECORDS),
    *(f"{DECK} --inner-radius 55 --record {record}" for record in RECORDS),
    *(f"{DECK} {stated}" for stated in STATED),
    *(f"--exact {exact}" for exact in EXACT),
    *(f"--exact {DECK} {stated}" for stated in STATED),
    *(f"--straight --pivot-to-spindle {d} --scheme {s}" for d, s in product((180, 240), SCHEMES)),
]
COMPARE = [
    *DECKS,
    f"{DECK} --now-overhang 17 --now-offset 22.5",
    f"{DECK} --now-overhang -15 --now-offset 0",
    f"{DECK} --scheme stevenson --scheme lofgren-b --null-radii 63 119",
    *(f"{DECK} {stated}" for stated in STATED),
    *(f"--exact {exact}" for exact in EXACT),
    f"--exact {PLAY} {DECK} --now-overhang 17 --now-offset 22.5",
    "--pivot-to-spindle 120 --record 7",
    f"{DECK} --record 12-din-trade",
]
_each("solve", [f"solve {words}{more}" for words, more in product(SOLVE, ("", " --json"))])
_each(
    "compare",
    [f"compare {words}{more}" for words, more in product(COMPARE, ("", " --json", " --csv"))],
)
_each(  # these pages and pictures change with the plotting library too
    "curves",
    [
        f"compare {words} -o curves.{form}"
        for words, form in product(
            (
                f"{DECK} --now-overhang 17 --now-offset 22.5 --title 'An invented deck'",
                f"--exact {PLAY} {DECK} --paper letter",
                f"{DECK} --x-axis time --side-minutes 23 --scheme stevenson --paper 200x280mm",
            ),
            ("pdf", "svg", "png"),
        )
    ],
)

# a used deck
CORRECT = [
    *(f"{DECK} {TWO} {more}".strip() for more in (
        *("", "--overhang 15.5", "--turn-about screws --stylus-to-screws 9", "--zenith 1.5"),
        *("--slot-room 5 6", "--slot-angle 0", "--pivot-height 20 --record-above-sheet 2"),
        *("--exact --signal 1000", "--reading 90:2 --reading-bound 0.6", "--scheme stevenson"),
        "--pivot-to-spindle-bound 1 --overhang 15.5 --overhang-bound 0.1",
    )),
    f"{DECK} --reading 66:0.1 --reading 120.9:-0.1",
    f"{DECK} --reading 66:-2 --reading 120.9:-0.5",
    f"{DECK} --reading 66:1 --reading 120.9:1",
    f"{DECK} --reading 66:0.5 --overhang 17",
    "--pivot-to-spindle 240 --straight --reading 91:1 --overhang -14",
    "--effective-length 239.3 --reading 66:1 --reading 120.9:0.5",
]  # fmt: skip
RECONCILE = [
    "--pivot-to-spindle 222.3±0.3 --effective-length 239 --overhang 15.0 --offset-angle 23deg"
    " --linear-offset 93.5",
    f"{DECK} --overhang 17.3 --offset-angle 22deg±0.5",
    f"{DECK} --overhang 17",
    f"{DECK} --effective-length 237 --overhang 17 --offset-angle 23",
    f"{DECK} --effective-length 239 --overhang 25.0 --offset-angle 23",
    "--null-radii 66.0±0.5 120.9+-0.5 --offset-angle 20.0",
    "--pivot-to-spindle 240 --overhang -13.3 --offset-angle 0.0",
    f"{DECK} --pivot-to-spindle 225 --effective-length 239.3 --offset-angle 23",
    f"{DECK} --effective-length 500 --overhang 17",
    f"{DECK} --effective-length 9.4in --null-radii 66.0 120.9 --record 12-din-1981",
    f"{DECK} --effective-length 239.9±0.2 --pivot-height 20 --velocity 7 --velocity-is rms",
    f"{DECK} --null-radii 60.0 117.4 --inner-radius 58 --outer-radius 146 --rpm 45",
    "--overhang 17.3±0.5 --linear-offset 93.4±0.3 --effective-length '9 3/8in'",
]
TOLERANCE = [
    f"{DECK}",
    f"{DECK} --seed 7 --draws 2000",
    "--pivot-to-spindle 240 --straight",
    f"{DECK} --exact {PLAY}",
    f"{DECK} --print-scale-bound 1 --hole-play-bound 0.5 --aim-bound 2 --arc-bound 0.2"
    " --grid-bound 0.3 --zenith-bound 0 --pivot-to-spindle-bound 2",
    f"{DECK} --print-scale-bound 0 --hole-play-bound 0 --aim-bound 0 --arc-bound 0"
    " --grid-bound 0 --zenith-bound 0 --pivot-to-spindle-bound 0",
    "--effective-length 239.3 --scheme stevenson --signal 1000",
]
for command, lines in {
    "correct": CORRECT,
    "reconcile": RECONCILE,
    "tolerance": [line if "--draws" in line else f"{line} --draws 1000" for line in TOLERANCE],
}.items():
    _each(command, [f"{command} {line}{more}" for line, more in product(lines, ("", " --json"))])
CASES["tolerance of a printer"] = (
    f"printer record desk {RAW}",
    f"tolerance {DECK} --draws 1000 --printer desk",
    f"tolerance {DECK} --draws 1000 --printer desk --json",
    f"tolerance {DECK} --printer desk --print-scale-bound 0.1",
    f"tolerance {DECK} --printer desk --paper a3",
)
CASES["correct with a log"] = (
    f"correct {DECK} {TWO} --log rounds.jsonl",
    f"correct {DECK} --reading 66:0.4 --reading 120.9:0.3 --log rounds.jsonl --json",
    f"correct {DECK} --reading 66:5 --reading 120.9:0 --log rounds.jsonl",
)

# printers
CASES["printer, the whole loop"] = (
    "printer list",
    f"printer record desk {RAW} {DATED}",
    f"printer record desk {SQUARE}",
    f"printer record desk {SQUARE} --paper letter --json",
    "printer list",
    "printer list --json",
    "printer show desk",
    "printer show DESK --paper a4",
    "printer show desk --paper letter --json",
    f"printer verify desk {TRUE} --paper a4",
    f"printer verify desk {TRUE} --paper a4 --json",
    f"printer verify desk {TRUE} --paper a4 --budget 0.01 --over 200",
    f"printer verify desk {RAW} --paper a4",
    "printer verify desk --instrument ruler --marks 150 --x 150 --y 150 --rising 150"
    " --falling 150 --paper letter",
    "printer forget desk --paper a4",
    f"printer record desk {SQUARE} --paper letter --force",
    "printer forget desk --json",
    "printer list --json",
)
for _name, _words in {
    "in inches, of its own lengths": "--instrument calipers --x 5.95in --y '4 in'"
    " --x-nominal 150mm --y-nominal 101.6",
    "dialog checked": "--instrument calipers --x 148.2 --y 148.2 --rising 148.2 --falling 148.2"
    " --dialog-checked",
    "by vernier": "--instrument printed-vernier --x 160 --y 240",
    "by steel rule": "--instrument steel-rule --marks ends --x 160.3 --y 240.2 --rising 265.3"
    " --falling 265.2 --accuracy 0.1 --reading-uncertainty 0.05",
    "on a paper of its own": f"{SQUARE} --paper 200x280mm",
}.items():
    CASES[f"printer record {_name}"] = (
        f"printer record 'a printer with a name of forty letters..' --profile-file p.toml {_words}",
        f"printer record desk --profile-file p.toml {_words} --json",
        "printer show desk --profile-file p.toml",
        "printer list --profile-file p.toml",
    )

# decks and batches
_each(
    "decks",
    [
        f"decks {task} {file}{more}"
        for (task, more), file in product(
            (
                *(("check", ""), ("check", " --json"), ("list", ""), ("list", " --json")),
                *(("export", " -o new.toml"), ("export", " -o new.csv")),
                *(("export", " -o new.csv --semicolons"), ("export", " -o new.txt")),
            ),
            ("bench.toml", "bench.csv", "one.csv", "broken.toml", "missing.csv", "diary.txt"),
        )
    ],
)
for _file in ("bench.toml", "one.csv", "new.toml", "new.csv"):
    CASES[f"decks add to {_file}"] = (
        f"decks add {_file} --name 'Bench deck 13' --pivot-to-spindle 229.5 --notes 'a \"note\"'",
        f"decks add {_file} --name 'Bench deck 14' --effective-length '9 3/8 in'"
        " --null-radii 63 119 --record 12 --paper a3",
        f"decks add {_file} --name 'Bench deck 13' --pivot-to-spindle 229.5",
        f"decks add {_file} --name 'Bench deck 15' --pivot-to-spindle 222 --overhang 30±0.1"
        " --effective-length 239",
        f"decks add {_file} --name 'Bench deck 16' --pivot-to-spindle 3",
        f"decks list {_file}",
        f"decks export {_file} -o {_file}",
        f"decks export {_file} -o copy.csv",
    )
CASES["batch: three decks in every format"] = (
    "batch bench.toml --kerf 0.18 --text text --processes 2",
    "batch bench.toml --kerf 0.18 --text text --processes 1",
    "batch bench.toml --kerf 0.18 --text text --processes 1 --resume",
    "batch bench.toml --kerf 0.2 --text text --processes 1 --resume --json",
)
CASES["batch: some decks fail"] = (
    "batch bench.csv --format pdf --format svg --processes 1 --sheet template --sheet board",
    "batch bench.csv --format pdf --processes 1 --force --json --folder other",
)
CASES["batch: plates"] = (
    "batch one.csv --sheet plate --processes 1 --mirror --stock 300 300 --hole 7.4"
    " --thickness 2 --colours layers --json",
)
CASES["batch: a printer's decks"] = (
    "batch with-printer.csv --format pdf --processes 1",
    f"printer record desk {RAW}",
    "batch with-printer.csv --format pdf --processes 1 --resume",
    "batch with-printer.csv --sheet template --processes 1 --resume",
)
_each(
    "batch",
    [
        f"batch {words}"
        for words in (
            *("broken.toml", "missing.csv", "one.csv --processes 0", "one.csv --sheet plates"),
            *("one.csv --kerf x", "one.csv --folder one.csv", "one.csv --colours pink"),
            *("one.csv --paper a44", "diary.txt"),
        )
    ],
)
CASES["demo"] = ("demo", "demo", "demo --format svg")

# help
GROUPS = {
    "": "solve compare template correct reconcile tolerance fit gauge pack print printer decks"
    " batch demo",
    "gauge": "pivot plate kerf board",
    "printer": "sheet record show list queue forget verify",
    "decks": "check list show sheet add change default remove export fields",
}
_each(
    "help",
    [
        *("", "--help", "--version", "gauge", "printer", "decks"),
        *(
            f"{group} {name} --help".strip()
            for group, them in GROUPS.items()
            for name in them.split()
        ),
    ],
)

# mistakes
_each(
    "mistake",
    [
        *(f"{line} --no-such-option" for line in (
            *("solve", "compare", "template", "correct", "reconcile", "tolerance", "pack", "batch"),
            *("gauge pivot", "gauge plate", "gauge kerf", "gauge board", "printer sheet", "demo"),
            *("printer list", "decks list", ""),
        )),
        *("slove", "solve 222", "gauge pivto", "printer shete", "decks lst", "batch", "decks list"),
        *(f"{line} --pivot-to-spindle {value}" for line, value in product(
            ("solve", "template", "compare"),
            ("0", "-222", "nan", "1e999", "''", "'nine inches'", "'222 parsec'", "119.9"),
        )),
        *(line for line in (
            *("solve", "compare", "template", "tolerance", f"correct {TWO}", "gauge plate"),
            *("gauge board", "pack", "reconcile", "solve --straight", "solve --pivot-to-spindle"),
            *("solve --effective-length 140", "solve --effective-length 900"),
        )),
        *(f"solve {DECK} {words}" for words in (
            *("--effective-length 239", "--scheme lofgrenb", "--record 12-ice-1958"),
            *("--inner-radius 146 --outer-radius 60", "--inner-radius 5", "--null-radii 66"),
            *("--null-radii 120 66", "--null-radii 66 66", "--scheme null-radii", "--rpm fast"),
            *("--scheme stevenson --null-radii 66 120", "--velocity 0", "--velocity-is mean"),
            *("--straight --exact", "--straight --null-radii 66 121", "--held offset-angle"),
            *("--overhang-range 10 16", "--norm rms", "--signal 5", "--replay-slope -3"),
            *("--signal 1000 --replay-slope 3.9", "--play 12:80", "--play 13:100", "--play 12"),
            *("--play 140-60:100", "--play 12@500:100", "--exact --norm mean"),
            *("--exact --overhang-range 16 10", "--exact --offset-angle 20"),
            *("--exact --null-radii 66 120", "--exact --scheme stevenson --norm rms"),
        )),
        *(f"compare {DECK} {words}" for words in (
            *("--csv --json", "-o curves.txt", "-o none/curves.pdf", "-o taken.pdf"),
            *("--now-overhang 17", "--now-offset 22", "--side-minutes 0", "--x-axis groove"),
            *("--scheme null-radii", "-o curves.pdf --paper 60x60mm"),
        )),
        *(f"template {DECK} {words}" for words in (
            *("-o taken.pdf", "-o none/x.pdf", "-o .", "-o x.png", "-o x.svg --format pdf"),
            *("--paper leter", "--paper 60x60mm", "--outer-radius 190", "--clear-margin 50"),
            *("--zenith x", "--kind three", "--printer attic", "--colours pink -o x.svg"),
            *(f"--title {'x' * 81}", "--title 'a\x07b'", "--null-radii 66 70", "--format png"),
            *("--profile-file damaged.toml --printer desk", "--text curly"),
        )),
        *(f"correct {DECK} {words}" for words in (
            *("", "--reading 66:0.5", "--reading 66", "--reading 66:nan", "--reading 66:1mm"),
            *("--reading 66:4.5 --reading 120.9:0", "--reading 500:1 --reading 120.9:0"),
            *("--reading 66:-4 --reading 120.9:4", f"{TWO} --slot-room 0 0", f"{TWO} --zenith 11"),
            *(f"{TWO} --overhang 20", f"{TWO} --turn-about screw", f"{TWO} --log diary.txt"),
            *(f"{TWO} --log none/x", f"{TWO} --log ."),
        )),
        *(f"reconcile {words}" for words in (
            *("--overhang 17", DECK, f"{DECK} --overhang 17±0", f"{DECK} --overhang 17±"),
            *(f"{DECK} --offset-angle 23mm", "--linear-offset 150 --effective-length 120±5"),
            *("--null-radii 66 121 --overhang -12", f"{DECK} --overhang 17 --pivot-height 101"),
        )),
        *(f"tolerance {DECK} {words}" for words in (
            *("--draws 10", "--draws 1500.5", "--grid-bound -1", "--seed -1", "--printer attic"),
        )),
        *("gauge pivot --start 50", "gauge pivot -o taken.pdf", "gauge kerf --kerf 11"),
        *("gauge board --effective-length 239.3 --slots 50", "gauge pivot --start 421"),
        *(f"gauge plate {DECK} {words}" for words in (
            *("--hole 3", "--thickness 20", "--stock 50 50", "--notch 2"),
            *("--stock 300", "--colours cut=#12"),
        )),
        *(f"pack {DECK} {words}" for words in ("-o x.svg", "-o taken.pdf", "--printer attic")),
        *("printer show attic", "printer forget attic", "printer verify attic", "printer show"),
        *("printer list --profile-file damaged.toml", "printer show desk --profile-file diary.txt"),
        *(f"printer record desk {words}" for words in (
            *("", "--instrument calipers", "--instrument caliper", "--instrument calipers --x 150"),
            *(f"--instrument calipers --x {x} --y {y}" for x, y in (
                *(("0", "150"), ("long", "150"), ("141", "141"), ("155", "155"), ("5.9", "5.9")),
                *(("152.5", "152.5"), ("150in", "150in"), ("200", "200"), ("145.4", "150")),
                *(("160.1", "150.2"), ("'150 furlongs'", "150")),
            )),
            "--instrument calipers --marks ends --x 240 --y 160",
            "--instrument calipers --x 150 --x 151 --x 150.02 --y 150",
            "--instrument calipers --x 150 --y 150 --rising 151 --falling 149.8",
            "--instrument calipers --x 150 --y 150 --rising 152 --falling 147.6",
            *(f"{SQUARE} {word}" for word in (
                *("--paper a44", "--orientation askew", "--date 31.3.2026", "--marks middle"),
                *("--accuracy -1", "--x-nominal 0", f"--tray {'x' * 41}"),
            )),
        )),
        *("demo --folder none/x", "demo --folder taken.pdf", "demo --format png"),
        *("decks add one.csv", "decks add one.txt --name A --pivot-to-spindle 222"),
        *("decks export one.csv", "decks export one.csv -o taken.pdf"),
    ],
)  # fmt: skip
_each(
    "mistake with a printer",
    [
        *(f"{line} --printer desk" for line in (
            *("template --kind two-null -o a.svg", "pack --kind two-null -o a.DXF"),
            *("printer sheet --paper a3", "printer sheet -o a.dxf"),
        )),
        *("printer show desk --paper a3", "printer verify desk", f"printer record DESK {SQUARE}"),
        *(f"printer verify desk {SQUARE} {word}" for word in ("--budget 0", "--over 5")),
        "printer verify desk --instrument calipers --x 5.9 --y 5.9",
    ],
    before=(f"printer record desk {RAW}",),
)  # fmt: skip
