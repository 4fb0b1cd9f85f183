"""`python -m protractor` is the command `protractor`."""

import sys

from protractor.cli import main

if __name__ == "__main__":
    sys.exit(main())
