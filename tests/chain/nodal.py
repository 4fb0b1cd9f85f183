"""A general solution of linear circuits by their nodes: the second way to each answer."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np


@dataclass(frozen=True)
class Part:
    """A resistor [ohm], inductor [H] or capacitor [F] between two nodes; node 0 is ground."""

    kind: Literal["R", "L", "C"]
    ends: tuple[int, int]
    value: float

    def admittance(self, frequency_hz: float) -> complex:
        """Admittance of a resistor or capacitor at a frequency [S]."""
        s = 2j * cmath.pi * frequency_hz
        return s * self.value if self.kind == "C" else 1 / self.value + 0j


@dataclass(frozen=True)
class Transformer:
    """An ideal transformer 1 : ratio from a primary node to a secondary node, both to ground."""

    primary: int
    secondary: int
    ratio: float


def voltages(
    parts: Sequence[Part],
    frequency_hz: float,
    *,
    source: tuple[int, complex] | None = None,
    current: tuple[int, complex] | None = None,
    transformer: Transformer | None = None,
) -> np.ndarray:
    """Voltages of all nodes with an ideal voltage source or an injected current [V].

    Modified nodal analysis: Kirchhoff's current law at every node, one more unknown for each
    voltage source, inductor and transformer: its current. An inductor is an equation of its own, so
    that a very small one beside a large resistor costs no digits.
    """
    nodes = max(max(part.ends) for part in parts)
    if transformer:
        nodes = max(nodes, transformer.primary, transformer.secondary)
    inductors = [part for part in parts if part.kind == "L"]
    size = nodes + bool(source) + bool(transformer) + len(inductors)
    matrix, right = np.zeros((size, size), complex), np.zeros(size, complex)
    for part in parts:
        if part.kind == "L":
            continue
        y = part.admittance(frequency_hz)
        for a, b in (part.ends, part.ends[::-1]):
            if a:
                matrix[a - 1, a - 1] += y
                if b:
                    matrix[a - 1, b - 1] -= y
    row = nodes
    for part in inductors:
        for node, sign in zip(part.ends, (1, -1), strict=True):
            if node:
                matrix[row, node - 1] = matrix[node - 1, row] = sign
        matrix[row, row] = -2j * cmath.pi * frequency_hz * part.value
        row += 1
    if source:
        matrix[row, source[0] - 1] = matrix[source[0] - 1, row] = 1
        right[row] = source[1]
        row += 1
    if current:
        right[current[0] - 1] += current[1]
    if transformer:
        p, s = transformer.primary - 1, transformer.secondary - 1
        matrix[row, s], matrix[row, p] = 1, -transformer.ratio
        matrix[s, row], matrix[p, row] = 1, -transformer.ratio
    return np.concatenate([[0], np.linalg.solve(matrix, right)[:nodes]])


def coil(resistance_ohm: float, inductance_mh: float) -> list[Part]:
    """A coil from its source at node 1 to node 3."""
    return [Part("R", (1, 2), resistance_ohm), Part("L", (2, 3), inductance_mh * 1e-3)]


def load(node: int, load_ohm: float, capacitance_pf: float) -> list[Part]:
    """Resistance and capacitance from a node to ground."""
    return [Part("R", (node, 0), load_ohm), Part("C", (node, 0), capacitance_pf * 1e-12)]
