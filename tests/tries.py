"""How often the tests with many tries try: a share in the suite, everything when asked for."""

import os

THOROUGH = bool(os.environ.get("PROTRACTOR_THOROUGH"))


def tries(whole: int, share: int = 4) -> int:
    """The whole number of tries with `PROTRACTOR_THOROUGH` set, else one in `share`."""
    return whole if THOROUGH else -(-whole // share)
