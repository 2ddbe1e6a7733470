"""An axis that shows a stretch of time whole, in steps that keep still."""

from __future__ import annotations

import math

from proofbell.app.drawing.time_axis import SECOND, Axis

STEPS_S = (5, 10, 15, 20, 30, 60, 90, 120, 180, 240, 300, 450, 600, 900, 1200, 1800, 3600, 7200, 14400)
"""Seconds in a column."""


def fitted_axis(begin_us: int, end_us: int, columns: int) -> Axis:
    """From ``begin_us`` to ``end_us`` (UTC) over so many columns."""
    columns = max(1, columns)
    least_us = max(1, (end_us - begin_us) / max(1, columns - 1))
    step_us = next((s * SECOND for s in STEPS_S if s * SECOND >= least_us), math.ceil(least_us))
    return Axis(begin_us // step_us * step_us, step_us, columns)
