"""The temperature of a dough through a stage, as the readings tell it and the model fills it in.

``dT/dt = −(T − place)/τ + warming · rate(T)``: it drifts to its place, and warms itself by what its leaven does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from proofbell.dough.fermenting.drift import YEAST, Drift
from proofbell.dough.fermenting.golden_section import lowest
from proofbell.dough.fermenting.leaven import Curve
from proofbell.dough.fermenting.time_constant import LEAST_TAU_DOUBT, TAU_DOUBT
from proofbell.frozen import dataclass

Readings = Sequence[tuple[float, float]]
"""(seconds into the stage, dough temperature in °C)."""

Stood = Sequence[tuple[float, float, float]]
"""(until so many seconds into the stage, the place's temperature in °C, the dough's time constant there in s)."""

TAU_BOUND = 3.0
"""A refitted time constant stays within a third and three times of what the mass says: more is a slip or a draught."""

OFFSET_BOUND_K = 4.0
"""A dough warms itself by 1 to 2 K an hour (German bakers' glossaries); times a time constant of two hours."""

START_DOUBT_K = 2.0
"""How far (1σ) a dough that nobody read at the start is from the card's temperature. Common practice, no source."""

START_SLACK_K = 5.0
"""Before a first late reading, the dough was at most this much farther from its place than the card says."""

READING_K = 0.7
"""How far (1σ) two readings of one dough scatter, by where the probe stands. Common practice, no source."""

PLACE_K = 1.0
"""How far (1σ) a place may be from what is said of it; home fridges swing by about two degrees."""

APART_S = 600.0
"""Two readings closer together than this tell more about the probe than about the dough."""

CLEAR_K = 1.0
"""A dough closer to its place than this tells nothing about how fast it drifts."""

_STEPS_A_TAU = 4
_STEPS = 16


@dataclass(frozen=True, slots=True)
class Piece:
    """One drift, from ``begin_s`` to ``end_s`` seconds into the stage (the last one never ends)."""

    begin_s: float
    end_s: float
    drift: Drift


@dataclass(frozen=True, slots=True)
class Path:
    """A dough's temperature over time. ``tau_s`` is its time constant after the readings, ``tau_doubt`` its 1σ.

    ``shown_k``: by how much its place is warmer than was said, as the last two readings show (K).
    """

    pieces: tuple[Piece, ...]
    tau_s: float
    tau_doubt: float = 0.0
    shown_k: float = 0.0

    @property
    def last(self) -> Piece:
        """The piece that reaches into the future."""
        return self.pieces[-1]

    def temp_c(self, at_s: float) -> float:
        """Return the temperature (°C) ``at_s`` seconds into the stage."""
        piece = next(piece for piece in self.pieces if at_s < piece.end_s or piece is self.last)
        return piece.drift.temp_c(at_s - piece.begin_s)

    def amount_s(self, seconds: float, *, curve: Curve = YEAST) -> float:
        """Return the sum of the relative rate over the first ``seconds``."""
        return math.fsum(
            piece.drift.amount_s(min(seconds, piece.end_s) - piece.begin_s, curve=curve)
            for piece in self.pieces
            if piece.begin_s < seconds
        )

    def seconds_for(self, amount_s: float, *, curve: Curve = YEAST) -> float:
        """Return how far into the stage ``amount_s`` is reached; infinite when it never is."""
        left_s = amount_s
        for piece in self.pieces[:-1]:
            done_s = piece.drift.amount_s(piece.end_s - piece.begin_s, curve=curve)
            if done_s >= left_s:
                return piece.begin_s + piece.drift.seconds_for(left_s, curve=curve)
            left_s -= done_s
        return self.last.begin_s + self.last.drift.seconds_for(left_s, curve=curve)

    def _ends_c(self, seconds: float) -> list[float]:
        within = [piece for piece in self.pieces if piece.begin_s <= seconds]
        ends = [piece.drift.temp_c(min(seconds, piece.end_s) - piece.begin_s) for piece in within]
        return [*(piece.drift.start_c for piece in within), *ends]

    def coldest_c(self, seconds: float) -> float:
        """Return the lowest temperature (°C) in the first ``seconds``; a piece is coldest at one of its ends."""
        return min(self._ends_c(seconds))

    def warmest_c(self, seconds: float) -> float:
        """Return the highest temperature (°C) in the first ``seconds``."""
        return max(self._ends_c(seconds))


def onward(
    start_c: float, place_c: float, tau_s: float, *, begin_s: float = 0.0, warming_k: float = 0.0, curve: Curve = YEAST
) -> tuple[Piece, ...]:
    """Lay a path from ``start_c`` on for ever; it warms itself by ``warming_k`` (K) for each second at the best rate.

    Its own warmth is taken as a place that is so much warmer, anew every quarter of a time constant.
    """
    pieces: list[Piece] = []
    for step_s, drift in _steps(start_c, place_c, tau_s, warming_k, curve):
        pieces.append(Piece(begin_s, begin_s + step_s, drift))
        begin_s += step_s
    return tuple(pieces)


def _steps(
    start_c: float, place_c: float, tau_s: float, warming_k: float, curve: Curve
) -> Iterator[tuple[float, Drift]]:
    """One drift after the other, each with how long it holds (s); the last one for ever."""

    def offset_k(temp_c: float) -> float:
        return min(warming_k * tau_s * curve.rate(temp_c), OFFSET_BOUND_K)

    temp_c, step_s = start_c, tau_s / _STEPS_A_TAU
    for _ in range(_STEPS if warming_k else 0):
        middle_c = Drift(temp_c, place_c + offset_k(temp_c), tau_s).temp_c(step_s / 2)
        drift = Drift(temp_c, place_c + offset_k(middle_c), tau_s)
        yield step_s, drift
        temp_c = drift.temp_c(step_s)
    settled_c = temp_c if warming_k else place_c
    for _ in range(10 if warming_k else 0):
        settled_c = place_c + offset_k(settled_c)
    yield math.inf, Drift(temp_c, settled_c, tau_s)


def follow(
    readings: Readings,
    *,
    start_c: float,
    place_c: float,
    tau_s: float,
    tau_doubt: float = TAU_DOUBT,
    warming_k: float = 0.0,
    curve: Curve = YEAST,
    stood: Stood = (),
) -> Path:
    """Lay a path through every reading and on towards the place.

    ``stood`` are the places it stood in before, one after the other from the start of the stage on; what is said below
    then holds for each place by itself, with the temperature that the dough brings from the one before.

    ``tau_s`` is what mass and surroundings say of the time constant, and ``tau_doubt`` how far (1σ of its logarithm)
    that may be off; the readings move it as far as both doubts allow, within :data:`TAU_BOUND`. Without a reading at
    the start, the first one is weighed against the card's ``start_c``. Between two readings the curve passes through
    both, also where the later one is at the place or past it; a dough that moved away from its place, or past it, keeps
    its time constant from then on and goes towards a place that is off by as much as the readings ask for, within
    :data:`OFFSET_BOUND_K`. Raises ValueError: a reading lies before the
    stage.
    """
    if stood:
        return _through_places(readings, start_c, (*stood, (math.inf, place_c, tau_s)), tau_doubt, warming_k, curve)
    points = sorted(dict(sorted(readings, key=lambda reading: reading[0])).items())
    if not points:
        return Path(onward(start_c, place_c, tau_s, warming_k=warming_k, curve=curve), tau_s, tau_doubt)
    if points[0][0] < 0:
        raise ValueError("a reading cannot be taken before its stage")
    last = points[-1]
    read_at_start = last[0] - points[0][0] >= APART_S
    first = points[0] if read_at_start else (0.0, start_c)
    fit = _Fit(first, last, START_DOUBT_K if not read_at_start else READING_K, place_c, tau_s, warming_k, curve)
    offset_k, fitted_s, doubt = 0.0, tau_s, tau_doubt
    earlier = next((point for point in reversed(points) if last[0] - point[0] >= APART_S), None)
    # What the latest two readings show of the place counts before what all of them show of the pace.
    left_k = 0.0 if earlier is None else (earlier[1] - place_c) * (last[1] - place_c)
    if earlier is not None and (left_k <= 0 or abs(last[1] - place_c) >= abs(earlier[1] - place_c)):
        offset_k = _fitted_place_c(earlier, last, tau_s) - place_c
        offset_k = min(max(offset_k, -OFFSET_BOUND_K), OFFSET_BOUND_K)
    elif tau_doubt > 0 and last[0] - first[0] >= APART_S and abs(first[1] - place_c) >= CLEAR_K:
        fitted_s, doubt = fit.weighed(tau_doubt)
    pieces = [] if points[0][0] == 0 else [_before(points[0], start_c, place_c, fitted_s)]
    pieces += [
        Piece(before[0], after[0], _through(before, after, place_c, fitted_s)) for before, after in pairwise(points)
    ]
    # Where the readings have shown an offset, the dough's own warmth is in it.
    ahead_k = 0.0 if offset_k else warming_k
    pieces += onward(last[1], place_c + offset_k, fitted_s, begin_s=last[0], warming_k=ahead_k, curve=curve)
    return Path(tuple(pieces), fitted_s, doubt, offset_k)


def _through_places(
    readings: Readings, start_c: float, places: Stood, tau_doubt: float, warming_k: float, curve: Curve
) -> Path:
    pieces: list[Piece] = []
    begin_s, temp_c = 0.0, start_c
    for until_s, place_c, tau_s in places:
        last = math.isinf(until_s)
        # What is read as it is moved tells of the place that it leaves, and goes on with it.
        own = [(at_s - begin_s, c) for at_s, c in readings if begin_s < at_s <= until_s or at_s == begin_s == 0]
        path = follow(
            own, start_c=temp_c, place_c=place_c, tau_s=tau_s, tau_doubt=tau_doubt, warming_k=warming_k, curve=curve
        )
        pieces += [
            Piece(begin_s + piece.begin_s, min(begin_s + piece.end_s, until_s), piece.drift)
            for piece in path.pieces
            if begin_s + piece.begin_s < until_s
        ]
        if last:
            break
        begin_s, temp_c = until_s, path.temp_c(until_s - begin_s)
    return Path(tuple(pieces), path.tau_s, path.tau_doubt, path.shown_k)


@dataclass(frozen=True, slots=True)
class _Fit:
    """What two temperatures say of a time constant whose prior is ``tau_s``."""

    first: tuple[float, float]
    last: tuple[float, float]
    first_k: float
    place_c: float
    tau_s: float
    warming_k: float
    curve: Curve

    def temp_c(self, tau_s: float) -> float:
        """Where the dough would be at the last reading (°C)."""
        left_s = self.last[0] - self.first[0]
        for step_s, drift in _steps(self.first[1], self.place_c, tau_s, self.warming_k, self.curve):
            if left_s < step_s:
                return drift.temp_c(left_s)
            left_s -= step_s
        raise AssertionError("the last drift never ends")

    def reading_doubt_k(self, tau_s: float) -> float:
        """How far (1σ) the last reading may be from the model: probe, first temperature and place together."""
        left = math.exp(-(self.last[0] - self.first[0]) / tau_s)
        return math.hypot(READING_K, self.first_k * left, PLACE_K * (1 - left))

    def weighed(self, doubt: float) -> tuple[float, float]:
        """The time constant (s) by prior and readings, each by its weight, and its 1σ."""

        def misses(log_tau: float) -> float:
            tau_s = math.exp(log_tau)
            reading = (self.temp_c(tau_s) - self.last[1]) / self.reading_doubt_k(self.tau_s)
            return reading**2 + ((log_tau - prior) / doubt) ** 2

        prior = math.log(self.tau_s)
        found = lowest(misses, prior - math.log(TAU_BOUND), prior + math.log(TAU_BOUND))
        step = 0.01
        slope = (self.temp_c(math.exp(found + step)) - self.temp_c(math.exp(found - step))) / (2 * step)
        told = slope / self.reading_doubt_k(self.tau_s)
        after = 1 / math.sqrt(1 / doubt**2 + told**2)
        return math.exp(found), min(doubt, max(after, LEAST_TAU_DOUBT))


def _before(first: tuple[float, float], start_c: float, place_c: float, tau_s: float) -> Piece:
    """The stretch before a first late reading: from the card's temperature, as far off as the reading asks for."""
    at_s, reading_c = first
    left = math.exp(-at_s / tau_s)
    modelled_c = place_c + (start_c - place_c) * left
    spread = (START_DOUBT_K * left) ** 2 + READING_K**2 + (PLACE_K * (1 - left)) ** 2
    shift_k = (reading_c - modelled_c) * START_DOUBT_K**2 * left / spread
    began_c = start_c + min(max(shift_k, -START_SLACK_K), START_SLACK_K)
    return Piece(0.0, at_s, _through((0.0, began_c), first, place_c, tau_s))


def _through(earlier: tuple[float, float], later: tuple[float, float], place_c: float, tau_s: float) -> Drift:
    towards_c = place_c
    if (later[1] - earlier[1]) * (place_c - earlier[1]) > 0:
        # One that came to its place, or past it, was about there by then: no probe tells less than that.
        warms = later[1] > earlier[1]
        towards_c = max(place_c, later[1] + READING_K) if warms else min(place_c, later[1] - READING_K)
    fitted_s = _fitted_tau_s(earlier, later, towards_c)
    if fitted_s is not None:
        return Drift(earlier[1], towards_c, fitted_s)
    return Drift(earlier[1], _fitted_place_c(earlier, later, tau_s), tau_s)


def _fitted_tau_s(earlier: tuple[float, float], later: tuple[float, float], place_c: float) -> float | None:
    """Return the time constant of a drift through both readings towards ``place_c``, or None when there is none."""
    if earlier[1] == place_c:
        return None
    left = (later[1] - place_c) / (earlier[1] - place_c)
    return (later[0] - earlier[0]) / -math.log(left) if 0.0 < left < 1.0 else None


def _fitted_place_c(earlier: tuple[float, float], later: tuple[float, float], tau_s: float) -> float:
    """The place temperature (°C) at which a dough of this time constant would give both readings."""
    return earlier[1] + (later[1] - earlier[1]) / -math.expm1(-(later[0] - earlier[0]) / tau_s)
