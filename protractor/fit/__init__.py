"""Does it fit: cartridge, arm and phono stage, answered with intervals."""

from __future__ import annotations

from protractor.fit.answer import Answer
from protractor.fit.cartridge import Cartridge
from protractor.fit.interval import Interval
from protractor.fit.question import CAUTIONS, fit
from protractor.fit.stage import Stage
from protractor.fit.tonearm import Tonearm

__all__ = ["CAUTIONS", "Answer", "Cartridge", "Interval", "Stage", "Tonearm", "fit"]
