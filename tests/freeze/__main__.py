"""`python -m tests.freeze`."""

import sys

from tests.freeze.freeze import main

sys.exit(main())
