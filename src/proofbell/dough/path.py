"""The temperature of a dough through a stage, as the readings tell it and the model fills it in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from proofbell.dough.rate import LEAST_C, Drift

Readings = Sequence[tuple[float, float]]
"""(seconds into the stage, dough temperature in °C)."""

TAU_BOUND = 3.0
"""A refitted time constant stays within a third and three times of what the mass says: more is a slip or a draught."""

OFFSET_BOUND_K = 4.0
"""A dough warms itself by 1 to 2 K an hour (German bakers' glossaries); times a time constant of two hours."""

START_SLACK_K = 5.0
"""Before a first late reading, the dough was at most this much farther from its place than the card or the reading."""

APART_S = 600.0
"""Two readings closer together than this tell more about the probe than about the dough."""

CLEAR_K = 1.0
"""A dough closer to its place than this tells nothing about how fast it drifts."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One drift, from ``begin_s`` to ``end_s`` seconds into the stage (the last one never ends)."""

    begin_s: float
    end_s: float
    drift: Drift


@dataclass(frozen=True, slots=True)
class Path:
    """A dough's temperature over time: Newton cooling between readings."""

    pieces: tuple[Piece, ...]

    @property
    def last(self) -> Piece:
        """The piece that reaches into the future."""
        return self.pieces[-1]

    def temp_c(self, at_s: float) -> float:
        """Return the temperature (°C) ``at_s`` seconds into the stage."""
        piece = next(piece for piece in self.pieces if at_s < piece.end_s or piece is self.last)
        return piece.drift.temp_c(at_s - piece.begin_s)

    def amount_s(self, seconds: float) -> float:
        """Return the sum of the relative rate over the first ``seconds``."""
        return math.fsum(
            piece.drift.amount_s(min(seconds, piece.end_s) - piece.begin_s)
            for piece in self.pieces
            if piece.begin_s < seconds
        )

    def seconds_for(self, amount_s: float, *, least_c: float = LEAST_C) -> float:
        """Return how far into the stage ``amount_s`` is reached; infinite when it never is."""
        left_s = amount_s
        for piece in self.pieces[:-1]:
            done_s = piece.drift.amount_s(piece.end_s - piece.begin_s, least_c=least_c)
            if done_s >= left_s:
                return piece.begin_s + piece.drift.seconds_for(left_s, least_c=least_c)
            left_s -= done_s
        return self.last.begin_s + self.last.drift.seconds_for(left_s, least_c=least_c)

    def coldest_c(self, seconds: float) -> float:
        """Return the lowest temperature (°C) in the first ``seconds``; a piece is coldest at one of its ends."""
        ends = (min(seconds, piece.end_s) for piece in self.pieces if piece.begin_s <= seconds)
        starts = (piece.drift.start_c for piece in self.pieces if piece.begin_s <= seconds)
        return min(*starts, *(self.temp_c(end) for end in ends))


def follow(readings: Readings, *, start_c: float, place_c: float, tau_s: float) -> Path:
    """Lay a path through every reading and on towards the place.

    Between two readings the curve passes through both. After the last, the time constant is refitted on it and the
    latest reading at least ten minutes earlier, within :data:`TAU_BOUND`; a dough that moves away from its place, or
    past it, keeps its time constant and goes towards a place that is off by as much as the readings ask for, within
    :data:`OFFSET_BOUND_K`. Before a first late reading the curve is followed backwards. Without any reading
    the dough starts at ``start_c``.

    Raises:
        ValueError: a reading lies before the stage.
    """
    points = sorted(dict(sorted(readings, key=lambda reading: reading[0])).items())
    if not points:
        return Path((Piece(0.0, math.inf, Drift(start_c, place_c, tau_s)),))
    if points[0][0] < 0:
        raise ValueError("a reading cannot be taken before its stage")
    pieces = [] if points[0][0] == 0 else [_before(points[0], start_c, place_c, tau_s)]
    pieces += [
        Piece(earlier[0], later[0], _through(earlier, later, place_c, tau_s)) for earlier, later in pairwise(points)
    ]
    pieces.append(Piece(points[-1][0], math.inf, _onward(points, place_c, tau_s)))
    return Path(tuple(pieces))


def _before(first: tuple[float, float], start_c: float, place_c: float, tau_s: float) -> Piece:
    at_s, reading_c = first
    gap_k = reading_c - place_c
    most_k = max(abs(start_c - place_c), abs(gap_k)) + START_SLACK_K
    back_k = abs(gap_k) * math.exp(min(at_s / tau_s, 700.0))
    if back_k <= most_k:
        return Piece(0.0, at_s, Drift(place_c + math.copysign(back_k, gap_k), place_c, tau_s))
    faster_s = at_s / math.log(most_k / abs(gap_k))
    return Piece(0.0, at_s, Drift(place_c + math.copysign(most_k, gap_k), place_c, faster_s))


def _through(earlier: tuple[float, float], later: tuple[float, float], place_c: float, tau_s: float) -> Drift:
    fitted_s = _fitted_tau_s(earlier, later, place_c)
    if fitted_s is not None:
        return Drift(earlier[1], place_c, fitted_s)
    return Drift(earlier[1], _fitted_place_c(earlier, later, tau_s), tau_s)


def _onward(points: Readings, place_c: float, tau_s: float) -> Drift:
    last = points[-1]
    earlier = next((point for point in reversed(points) if last[0] - point[0] >= APART_S), None)
    if earlier is None:
        return Drift(last[1], place_c, tau_s)
    fitted_s = _fitted_tau_s(earlier, last, place_c) if abs(earlier[1] - place_c) >= CLEAR_K else None
    if fitted_s is not None:
        return Drift(last[1], place_c, min(max(fitted_s, tau_s / TAU_BOUND), tau_s * TAU_BOUND))
    offset_k = _fitted_place_c(earlier, last, tau_s) - place_c
    return Drift(last[1], place_c + min(max(offset_k, -OFFSET_BOUND_K), OFFSET_BOUND_K), tau_s)


def _fitted_tau_s(earlier: tuple[float, float], later: tuple[float, float], place_c: float) -> float | None:
    """Return the time constant of a drift through both readings towards ``place_c``, or None when there is none."""
    if earlier[1] == place_c:
        return None
    left = (later[1] - place_c) / (earlier[1] - place_c)
    return (later[0] - earlier[0]) / -math.log(left) if 0.0 < left < 1.0 else None


def _fitted_place_c(earlier: tuple[float, float], later: tuple[float, float], tau_s: float) -> float:
    """The place temperature (°C) at which a dough of this time constant would give both readings."""
    return earlier[1] + (later[1] - earlier[1]) / -math.expm1(-(later[0] - earlier[0]) / tau_s)
