"""From a deck to a stylus in the right place: estimates, corrections, tolerance."""
