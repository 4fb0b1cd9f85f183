"""Alignment geometry of record-player arms and true-scale alignment templates."""

__version__ = "0.1.0"
