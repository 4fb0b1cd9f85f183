"""A folder that runs without Python: how it is built, and a check of it that is run by hand."""
