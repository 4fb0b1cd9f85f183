"""Text in cut files: a title of any characters leaves them sound and is read back as it is."""

from __future__ import annotations

import io
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf.tools.text import plain_text

from protractor.drawing.shapes import Label, Page
from protractor.output.dxf import dxf_bytes
from protractor.output.style import Style
from protractor.output.svg import svg_bytes

FORBIDDEN = "".join(map(chr, (*range(9), 0xB, 0xC, *range(0xE, 0x20), 0x7F, 0x9B, 0xFFFE, 0xFFFF)))
"""What XML 1.0 (production 2) does not allow, and controls that it discourages."""


def page(title: str) -> Page:
    """A page that bears a title, and says it."""
    label = Label(text=title, at=(10.0, 10.0), size_pt=9.0, layer="engrave")
    return Page(
        width_mm=100.0,
        height_mm=50.0,
        paper="own",
        title=title,
        subject=title,
        shapes=(label,),
        features={},
    )


@pytest.mark.parametrize("text", ["outline", "text"])
@pytest.mark.parametrize("odd", [*FORBIDDEN, "\ud800", "\n", "\t"])
def test_svg_is_xml(text: str, odd: str) -> None:
    """A character that XML forbids, in title, label and description, never enters an SVG."""
    root = ElementTree.fromstring(svg_bytes(page(f"a{odd}b"), Style(text=text)))
    said = [e.text or "" for e in root.iter()] + [e.get("aria-label", "") for e in root.iter()]
    ours = [words for words in said if words.startswith("a")]
    assert len(ours) == 3
    assert set(ours) <= {"a\ufffdb", "a b"}


@pytest.mark.parametrize("title", ["^J^I^M", "up ^ down", r"\U+0041 \P", "100 %% %%d", "a\nb\x1bc"])
def test_dxf_text_is_read_as_it_is(title: str) -> None:
    """Codes of DXF in a title stay letters: `^J` is no line end, `\\U+0041` no A.

    Read by the DXF library, which decodes carets, codes and percent signs as programs do.
    """
    document = ezdxf.read(io.StringIO(dxf_bytes(page(title), Style(text="text")).decode()))
    [entity] = document.modelspace().query("TEXT")
    written = entity.dxf.text
    read = plain_text(ezdxf.decode_dxf_unicode(written))
    assert read == title.replace("\n", " ").replace("\x1b", "\ufffd")
    properties = dict(document.header.custom_vars)
    assert ezdxf.decode_dxf_unicode(properties["Title"]).replace("^ ", "^") == read
