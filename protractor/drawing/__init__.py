"""A drawing in millimetres: knows no file format and no arm."""
