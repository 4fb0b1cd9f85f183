"""Arms on a deck, records, schemes and what an error costs."""
