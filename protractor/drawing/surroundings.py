"""Settings that libraries find on their own are out of their sight: no sheet depends on them.

A page is the same whatever settings lie in the current folder or the user's, and whatever the
environment says to a library.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import chdir, contextmanager, nullcontext
from pathlib import Path
from types import ModuleType

HIDDEN = ("EZDXF_", "MATPLOTLIBRC", "MPLBACKEND", "RL_", "SOURCE_DATE_EPOCH")
"""How the variables begin that a library would obey."""

SETTINGS = Path(__file__).with_name("settings")
"""A folder with what the libraries look for, empty: settings, and a list of the system's fonts."""

MODULES = ("reportlab_settings", "reportlab.local_rl_settings")
"""Modules of settings; when there is the first, `~/.reportlab_settings` is not read."""


@contextmanager
def undisturbed(*folders: str) -> Iterator[None]:
    """Libraries find no settings while this lasts: while they load, or begin or write a file.

    When `folders` are given, `SETTINGS` takes the place of the current folder and of the folders
    that these variables of the environment name. Not beside threads that mind either.
    """
    away = [name for name in os.environ if name.startswith((*HIDDEN, *folders))]
    environment = {name: os.environ.pop(name) for name in away}
    modules = {name: sys.modules.pop(name) for name in MODULES if name in sys.modules}
    os.environ.update(dict.fromkeys(folders, str(SETTINGS)))
    sys.modules.update({name: ModuleType(name) for name in MODULES})
    try:
        with chdir(SETTINGS) if folders else nullcontext():
            yield
    finally:
        for name in folders:
            del os.environ[name]
        for name in MODULES:
            del sys.modules[name]
        os.environ.update(environment)
        sys.modules.update(modules)
