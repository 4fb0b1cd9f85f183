"""The page of curves, drawn by the plotting library: comparisons in, the bytes of a file out."""
