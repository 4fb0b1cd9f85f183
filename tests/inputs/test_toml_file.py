"""Lines of TOML tables and keys: every value of a generated file is the line that it stands on."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest

from protractor.errors import InputError
from protractor.inputs.toml_file import Place, read_toml


def refuse(got: str, allowed: str, remedy: str) -> InputError:
    """The error of a file that is none."""
    return InputError("file", got, allowed, remedy)


def leaves(value: Any, place: Place = ()) -> Iterator[tuple[Place, int]]:
    """Every number in tables and lists of tables, with its place."""
    if isinstance(value, int):
        yield place, value
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from leaves(part, (*place, name))
    elif isinstance(value, list):
        for at, part in enumerate(value):
            yield from leaves(part, (*place, at))


NOISE = (
    *("", "# [deck] key = 1", "    ", "\t# ]]"),
    *('text{} = """\n[[deck]]\nkey = 3\n"""', "text{} = '''a\n[deck.arm] # \"'''"),
    *('text{} = "[[deck]] # not a table"', "text{} = 'key = 5'", 'text{} = "quoted \\" # = [x]"'),
    *("list{} = [\n  'key = 1',\n  '[deck]', # [[deck]]\n]",),
)


def written(rng: random.Random) -> str:
    """A file of decks with sections, each numeric value its own line number."""
    lines: list[str] = []

    def add(text: str) -> None:
        lines.extend(text.split("\n"))

    def noise() -> None:
        add(rng.choice(NOISE).format(len(lines)))

    def keys(count: int) -> None:
        for at in range(count):
            noise()
            key = rng.choice(("key-{}", '"key {}"', "'key_{}'", "sub.key-{}", 'sub . "key{}"'))
            add(f"{rng.choice(('', '  '))}{key.format(at)} = {len(lines) + 1}")

    keys(2)
    for _ in range(3):
        add(rng.choice(("[[deck]]", "  [[ deck ]]", '[["deck"]] # again')))
        keys(rng.randint(0, 3))
        for header in rng.sample(("[deck.cartridge]", "[ deck . 'arm' ]", "[[deck.stage]]"), k=2):
            for _ in range(2 if header.startswith("[[") else 1):
                add(header)
                keys(rng.randint(0, 3))
    return "\n".join(lines)


@pytest.mark.parametrize("seed", range(25))
def test_every_value_is_its_line(seed: int) -> None:
    """Nested tables, lists of tables, quoted and dotted keys, whatever stands around them."""
    text = written(random.Random(seed))
    for end in ("\n", "\r\n"):
        file = read_toml(text.replace("\n", end), refuse)
        found = [(place, line) for place, line in leaves(file.tables) if place[-1] != "text"]
        assert len(found) >= 2
        assert {place: file.line(place) for place, _ in found} == dict(found)


def test_a_place_without_a_line_has_that_of_the_table_around_it() -> None:
    """What an inline table holds is on its line; what is not there, on its table's."""
    file = read_toml("a = 1\ndeck = [{ b = 2 }, { c = 3 }]\n[arm]\nd = 4\n", refuse)
    assert file.line(("deck", 1, "c")) == 2
    assert file.line(("arm", "e")) == 3
    assert file.line(("z",)) == 1
