"""Many decks: files of decks, batches, the demo."""
