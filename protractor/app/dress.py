"""How a cut file is dressed, as pages ask for it, and the Python that says the same."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from protractor.output.inputs import COLOURS, TEXT_AS

DRESS = {"text": TEXT_AS, "colours": COLOURS}
"""What is asked, by attribute."""

STYLE_IMPORT = "from protractor.output.style import Style, read_colours"


def style_python(values: Mapping[str, Any]) -> str:
    """The Python of a dress; it needs `STYLE_IMPORT`.

    >>> style_python({"text": "text"})
    "Style(text='text')"
    """
    said = [f"text={values['text']!r}"] if "text" in values else []
    said += [f"colours=read_colours({values['colours']!r})"] if "colours" in values else []
    return f"Style({', '.join(said)})"
