"""Recorded area of a side by standard, playing speeds, and the centre hole.

The radii are those that the standards print (half the printed diameters). Where a standard gives no
inner radius, none is invented here: the user has to say it.
"""

from __future__ import annotations

from dataclasses import dataclass

from protractor.errors import InputError, check_range

CENTRE_HOLE_DIAMETER_MM = 7.24
"""Centre hole of a record, +0.09/-0 mm (IEC 98, DIN 45547, JIS S 8502)."""

RECORDED_RADIUS_RANGE_MM = (30.0, 220.0)
"""Radii that a recorded area may have: beyond the label, and inside the largest discs cut."""

SPEED_RANGE_RPM = (10.0, 120.0)

SPEEDS_RPM = {"33 1/3": 100 / 3, "45": 45.0, "78": 78.0}
"""Nominal speeds; the recording speed keeps to them within 0.5 % (IEC 60098:2020)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The recorded area of one side and the speed it turns at.

    `inner_radius_mm` and `outer_radius_mm` bound the modulated groove; `source` names the standard
    and edition. Raises `InputError` for radii that are swapped, equal or outside what a disc has.
    """

    name: str
    inner_radius_mm: float
    outer_radius_mm: float
    rpm: float = 100 / 3
    source: str = "the user's own radii"

    def __post_init__(self) -> None:
        remedy = "give the radius of the recorded area, not its diameter"
        for end, value in (("inner", self.inner_radius_mm), ("outer", self.outer_radius_mm)):
            check_range(f"{end}-radius", value, "mm", RECORDED_RADIUS_RANGE_MM, remedy)
        if self.outer_radius_mm - self.inner_radius_mm < 1.0:
            raise InputError(
                "inner-radius",
                f"{self.inner_radius_mm:g} mm with outer radius {self.outer_radius_mm:g} mm",
                "an inner radius at least 1 mm smaller than the outer one",
                "swap the two, or correct one",
            )
        low, high = SPEED_RANGE_RPM
        if not low <= self.rpm <= high:
            allowed = f"33 1/3, 45, 78 or {low:g} to {high:g} rpm"
            raise InputError("rpm", f"{self.rpm:g}", allowed, "give revolutions per minute")

    def as_dict(self) -> dict[str, str | float]:
        """The record under the stable keys of `--json`."""
        keys = ("name", "inner_radius_mm", "outer_radius_mm", "rpm")
        return {key: getattr(self, key) for key in keys}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordPreset:
    """A recorded area as a standard prints it; `inner_radius_mm` is None where it prints none."""

    name: str
    label: str
    source: str
    outer_radius_mm: float
    inner_radius_mm: float | None
    finishing_groove_radius_mm: float | None
    rpm: float


# fmt: off
_PRESETS = (
    # name, label, outer and inner recorded radius, finishing groove's radius [mm], rpm; source.
    # The first is the default: the pair of radii that the trade calls 'IEC'.
    ("12-iec-1958", "12-inch, the trade's 'IEC' pair", 146.05, 60.325, None, 100 / 3,
     "IEC 98:1958: 11 1/2 in and 4 3/4 in across"),
    ("12-riaa-1963", "12-inch, RIAA", 146.05, 60.325, 53.18125, 100 / 3,
     "RIAA 1963: 11 1/2 in, 4 3/4 in and 4 3/16 in across"),
    ("12-din-1981", "12-inch, DIN as printed", 146.3, 57.5, 53.2, 100 / 3,
     "DIN 45547:1981: 292.6, 115 and 106.4 mm across"),
    ("12-din-trade", "12-inch, the trade's 'DIN' pair", 146.05, 57.5, None, 100 / 3,
     "common practice; DIN 45547's own outer radius is 146.3 mm"),
    ("12-iec-1987", "12-inch, later IEC and BS", 146.3, None, 53.2, 100 / 3,
     "IEC 98:1964 and 1987, BS 1928:1965: 292.6 and 106.4 mm across, no inner radius"),
    ("12-jis-1973", "30 cm, JIS limits", 146.5, 57.6, 53.2, 100 / 3,
     "JIS S 8502:1973: under 293, over 115.2 and 106.4 mm across"),
    ("10-iec-1987", "10-inch, IEC", 120.9, None, 53.2, 100 / 3,
     "IEC 98:1987: 241.8 and 106.4 mm across, no inner radius"),
    ("10-jis-1973", "25 cm, JIS limits", 121.0, 57.6, 53.2, 100 / 3,
     "JIS S 8502:1973: under 242, over 115.2 and 106.4 mm across"),
    ("7-iec-1987", "7-inch, IEC", 84.15, None, 48.7, 45.0,
     "IEC 98:1987: 168.3 and 97.4 mm across, no inner radius"),
    ("7-jis-1973", "17 cm, JIS limits", 84.0, 53.0, 48.5, 45.0,
     "JIS S 8502:1973: under 168, over 106 and 97 mm across"),
)
# fmt: on

RECORD_PRESETS = {
    name: RecordPreset(
        name=name,
        label=label,
        source=source,
        outer_radius_mm=outer,
        inner_radius_mm=inner,
        finishing_groove_radius_mm=groove,
        rpm=rpm,
    )
    for name, label, outer, inner, groove, rpm, source in _PRESETS
}
RECORD_SHORT_NAMES = {"12": "12-iec-1958", "10": "10-jis-1973", "7": "7-jis-1973"}

RECORDS_ALSO_CALLED = {
    **{f"{size}{unit}": size for size in RECORD_SHORT_NAMES for unit in ("in", "inch", "inches")},
    **{"lp": "12", "30cm": "12", "25cm": "10", "single": "7", "17cm": "7"},
    **{"iec": "12-iec-1958", "riaa": "12-riaa-1963"},
}
"""Other names that the trade has for a record (common practice)."""

UNCLEAR_RECORDS = {
    "din": "write 12-din-trade for the radii that the trade calls DIN, 57.5 and 146.05 mm, or "
    "12-din-1981 for those that DIN 45547 prints",
    "jis": "write 12-jis-1973, 10-jis-1973 or 7-jis-1973",
    "ep": "write 7 or 12, with `rpm` 45",
    "33": "that is a speed: write 12, and `rpm` 33",
    "45": "that is a speed: write 7, or 12 with `rpm` 45",
    "78": "that is a speed: write 10 or 12, with `rpm` 78",
}
"""Names that may mean several records or none, each with what to write."""


def record(
    name: str | Record | None = None,
    *,
    inner_radius_mm: float | None = None,
    outer_radius_mm: float | None = None,
    rpm: float | None = None,
) -> Record:
    """The record that a preset and the user's own radii and speed add up to.

    `name` is a key of `RECORD_PRESETS` or `RECORD_SHORT_NAMES` (default `12-iec-1958`), or a
    record; radii [mm] and speed [rpm] given beside it take the place of its own. The result is
    called `custom` when a radius is the user's own. Raises `InputError` for an unknown
    name, for a preset whose standard gives no inner radius when none is given, and for radii no
    side has.

    >>> record("7").outer_radius_mm, record(inner_radius_mm=58.0).name
    (84.0, 'custom')
    """
    own = inner_radius_mm is not None or outer_radius_mm is not None
    base = name if isinstance(name, Record) else _preset(name)
    inner = base.inner_radius_mm if inner_radius_mm is None else inner_radius_mm
    outer = base.outer_radius_mm if outer_radius_mm is None else outer_radius_mm
    if inner is None:
        assert isinstance(base, RecordPreset)
        raise InputError(
            "record",
            base.name,
            "a record whose inner recorded radius is known",
            f"this standard gives none: add `inner-radius` (its finishing groove lies at "
            f"{base.finishing_groove_radius_mm:g} mm)",
        )
    return Record(
        name="custom" if own else base.name,
        inner_radius_mm=inner,
        outer_radius_mm=outer,
        rpm=base.rpm if rpm is None else rpm,
        source="the user's own radii" if own else base.source,
    )


def _preset(name: str | None) -> RecordPreset:
    """The preset of a name or short name; the usual one when None."""
    preset = RECORD_PRESETS.get(RECORD_SHORT_NAMES.get(name or "12", name or "12"))
    if preset is None:
        known = ", ".join((*RECORD_SHORT_NAMES, *RECORD_PRESETS))
        raise InputError("record", name, known, "name one of these")
    return preset
