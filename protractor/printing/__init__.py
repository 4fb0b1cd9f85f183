"""Paper, and what printers do to it: readings, fit, verification, diagnosis, profiles."""
