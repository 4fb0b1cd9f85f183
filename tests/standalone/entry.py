"""What the folder's program starts with: the page by a double click, else the command line."""

from __future__ import annotations

import multiprocessing
import sys

if __name__ == "__main__":
    multiprocessing.freeze_support()  # the processes of a batch begin here, too

    from protractor.cli import main

    sys.exit(main(sys.argv[1:] or ["app"]))
