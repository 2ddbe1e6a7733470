"""The probe: its ice and boiling checks, and the correction that follows from them.

An ice bath of crushed ice and water, well stirred, is at 0 °C; water boils where the air pressure lets it. Both
checks are those of Champaign-Urbana Public Health District, "How to calibrate a food thermometer"; 1 °C either way is
what California Health and Safety Code 114159 allows.
"""

from __future__ import annotations

import math
from typing import Literal

from proofbell.errors import Failure
from proofbell.frozen import dataclass
from proofbell.words import difference, temperature

ICE_C = 0.0
LARGEST_CORRECTION_K = 5.0
"""A probe that is off by more than this is not corrected but replaced. A choice: five times the legal 1 °C
(California Health and Safety Code 114159)."""

GOOD_K = 1.0
"""What the law asks of a food probe (California Health and Safety Code 114159)."""

SEA_LEVEL_HPA = 1013.25
EARTH_RADIUS_M = 6_356_766.0
HIGHEST_M = 9000.0
LOWEST_M = -500.0

# Coefficients n1 to n10 of equation 31, IAPWS R7-97(2012), "Revised Release on the IAPWS Industrial Formulation 1997
# for the Thermodynamic Properties of Water and Steam", region 4.
_N = (
    1167.0521452767,
    -724213.16703206,
    -17.073846940092,
    12020.824702470,
    -3232555.0322333,
    14.915108613530,
    -4823.2657361591,
    405113.40542057,
    -0.23855557567849,
    650.17534844798,
)


Pt100Class = Literal["AA", "A", "B"]

# Fixed part (K) and share of the temperature: IEC 60751, "Industrial platinum resistance thermometers", as tabulated in
# makers' data sheets.
_PT100: dict[Pt100Class, tuple[float, float]] = {"AA": (0.10, 0.0017), "A": (0.15, 0.0020), "B": (0.30, 0.0050)}


def pt100_tolerance_k(grade: Pt100Class, temp_c: float) -> float:
    """Return how far a Pt100 of a class may be off (K) at ``temp_c``, by IEC 60751; its display may add to that."""
    fixed_k, share = _PT100[grade]
    return fixed_k + share * abs(temp_c)


def pressure_hpa(altitude_m: float) -> float:
    """Return the air pressure (hPa) of the standard atmosphere at ``altitude_m`` metres above the sea.

    ISO 2533:1975, "Standard Atmosphere", the layer up to 11 km: 1013.25 hPa and 15 °C at sea level, falling by 6.5 K a
    kilometre. The weather moves the true pressure by some 30 hPa either way, which is 1 °C of boiling point. Raises
    Failure: an altitude where nobody bakes.
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise Failure(
            f"An altitude of {altitude_m:.0f} m is not one to bake at.",
            f"Say how high the kitchen lies above the sea: {LOWEST_M:.0f} to {HIGHEST_M:.0f} m.",
        )
    height_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)
    return float(SEA_LEVEL_HPA * (1 - 0.0065 * height_m / 288.15) ** (9.80665 / (287.05287 * 0.0065)))


def boiling_c(pressure: float) -> float:
    """Return the temperature (°C) at which water boils under ``pressure`` hPa (as measured, not brought to sea level).

    Saturation temperature of IAPWS-IF97, region 4, equation 31 (IAPWS R7-97(2012)). Raises Failure: a pressure that is
    not one of open air.
    """
    if not 300.0 <= pressure <= 1100.0:
        raise Failure(
            f"{pressure:.0f} hPa is not the pressure of open air.",
            "Say the station pressure, 300 to 1100 hPa; or leave it out and give the altitude.",
        )
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    beta = float((pressure / 10_000.0) ** 0.25)  # the formula counts in MPa
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2 * g / (-f - math.sqrt(f**2 - 4 * e * g))
    return (n10 + d - math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2 - 273.15


def expected_boiling_c(*, altitude_m: float = 0.0, pressure: float | None = None) -> float:
    """Return what a right probe shows in boiling water: by station pressure (hPa) if known, else by altitude (m)."""
    return boiling_c(pressure_hpa(altitude_m) if pressure is None else pressure)


def corrected_c(raw_c: float, offset_k: float, slope: float = 1.0) -> float:
    """Return the true temperature (°C) for what the probe shows: ``offset_k`` + ``slope`` × raw."""
    return offset_k + slope * raw_c


@dataclass(frozen=True, slots=True)
class Correction:
    """What the checks say of a probe: true = ``offset_k`` + ``slope`` × raw.

    ``ice_error_k`` and ``boil_error_k``: by how much it showed too much; None when not checked. ``needed``: it is
    off by more than the 1 °C that the law allows.
    """

    offset_k: float
    slope: float
    boiling_c: float
    ice_error_k: float | None = None
    boil_error_k: float | None = None

    @property
    def needed(self) -> bool:
        """Whether the probe is off by more than 1 °C at a checked point."""
        errors = [error for error in (self.ice_error_k, self.boil_error_k) if error is not None]
        return any(abs(error) > GOOD_K for error in errors)


def check_probe(*, ice_c: float | None = None, boil_c: float | None = None, expected_c: float) -> Correction:
    """Return the correction for what the bare probe showed in ice and in boiling water (°C); one of them will do.

    One point gives an offset; two points give a straight line through both. ``expected_c`` is the boiling point here.
    Raises Failure: neither was read, or the probe is off by more than 5 °C: then it is faulty, or the check went wrong.
    """
    if ice_c is None and boil_c is None:
        raise Failure(
            "There is nothing to check the probe with.", "Read it in an ice bath, in boiling water, or in both."
        )
    ice_error_k = None if ice_c is None else _error_k(ice_c, ICE_C, "the ice bath")
    boil_error_k = None if boil_c is None else _error_k(boil_c, expected_c, "boiling water")
    if ice_c is not None and boil_c is not None:
        slope = (expected_c - ICE_C) / (boil_c - ice_c)
        return Correction(ICE_C - slope * ice_c, slope, expected_c, ice_error_k, boil_error_k)
    only_k = ice_error_k if boil_error_k is None else boil_error_k
    return Correction(-(only_k or 0.0), 1.0, expected_c, ice_error_k, boil_error_k)


def _error_k(shown_c: float, true_c: float, where: str) -> float:
    error_k = shown_c - true_c
    if not abs(error_k) <= LARGEST_CORRECTION_K:
        raise Failure(
            f"The probe showed {temperature(shown_c)} in {where}, which is at {temperature(true_c)}: it is off by "
            f"{difference(abs(error_k))}. That is too much to correct.",
            "Repeat the check (crushed ice with little water, well stirred; a rolling boil, not touching the pan). "
            "If it shows the same again, the probe is faulty: do not use it.",
            status=1,
        )
    return error_k
