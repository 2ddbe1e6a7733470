"""Why a figure is what it is: the working, in lines that a baker can follow with a pencil."""

from __future__ import annotations

import math
from collections.abc import Sequence

from proofbell.dough.fermenting.fermentation import REFERENCE_C, Card, Estimate
from proofbell.dough.fermenting.leaven import COLD_DOUBTS, CURVES, NO_PROMISE_C, Leaven
from proofbell.dough.fermenting.path import Readings, Stood
from proofbell.dough.heat import ICE_KJ, MELTING_KJ, WATER_KJ
from proofbell.dough.liquid import FACTOR_METHOD_WORD, Liquid, Part
from proofbell.frozen import dataclass
from proofbell.units import difference_f_from_c, f_from_c
from proofbell.words import difference, length, temperature, temperatures

ROWS = 5


@dataclass(frozen=True, slots=True)
class Working:
    """One figure's working: what it is of, and its lines, plain text."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactorMethod:
    """The bench card's way: the other temperatures by name (°C), the friction factor (K), and what comes out (°C)."""

    factors: tuple[tuple[str, float], ...]
    friction_k: float
    liquid_c: float


def liquid_working(
    *,
    name: str,
    liquid_g: float,
    liquid_kj: float,
    others: Sequence[Part],
    dough_temp_c: float,
    rise_k: float,
    rise_from: str,
    between: str = "",
    liquid: Liquid,
    ice_c: float,
    factor_method: FactorMethod,
) -> Working:
    """Return the working of a liquid's temperature: the heat balance line by line, then the bench card's way."""
    mixed_c = dough_temp_c - rise_k
    needed_j = math.fsum(part.holds * (mixed_c - part.temp_c) for part in others)
    each_j = liquid_g * liquid_kj
    lines = [
        f"The dough should be {temperature(dough_temp_c)} when kneading ends.",
        f"Kneading warms it by {difference(rise_k)} ({rise_from}), so the mix must come to {temperature(mixed_c)}.",
        f"What each brings to {temperature(mixed_c)} (weight × specific heat × degrees):",
        *(_part_line(part, mixed_c) for part in others),
        "  together they " + ("take up" if needed_j >= 0 else "give") + f" {_joules(abs(needed_j))}.",
        f"{name}: {liquid_g:.0f} g × {liquid_kj:.4g} = {_joules(each_j)} for each degree;",
        (
            f"  {_joules(abs(needed_j))} ÷ {_joules(each_j)} = {difference(abs(needed_j) / each_j)} "
            f"{'warmer' if needed_j >= 0 else 'colder'} than {temperature(mixed_c)}: {temperature(liquid.wanted_c)}."
        ),
        *([between] if between else []),
        *_limit_lines(name, liquid_g, liquid, ice_c, dough_temp_c),
        *_factor_lines(dough_temp_c, factor_method),
    ]
    return Working(f"Temperature of the {name}", tuple(lines))


def _part_line(part: Part, mixed_c: float) -> str:
    degrees_k = mixed_c - part.temp_c
    verb = "takes up" if degrees_k >= 0 else "gives"
    return (
        f"  {part.name}: {round(part.grams, 1):g} g × {part.heat_kj:.4g} × {_signed(degrees_k)} °C, "
        f"from {temperature(part.temp_c)}: {verb} {_joules(abs(part.holds * degrees_k))}"
    )


def _limit_lines(name: str, liquid_g: float, liquid: Liquid, ice_c: float, dough_temp_c: float) -> list[str]:
    lines: list[str] = []
    if liquid.ice_g:
        cooling = MELTING_KJ - ICE_KJ * ice_c + WATER_KJ * liquid.temp_c
        lines += [
            f"The tap gives {temperature(liquid.temp_c)}: part of the {liquid_g:.0f} g is ice of {temperature(ice_c)}.",
            (
                f"  {liquid_g:.0f} g × {WATER_KJ:.4g} × {liquid.temp_c - liquid.wanted_c:.1f} °C ÷ {cooling:.0f} "
                f"(warm to 0 °C, melt, and stand in for the water) = "
                f"{liquid_g * WATER_KJ * (liquid.temp_c - liquid.wanted_c) / cooling:.0f} g of ice."
            ),
        ]
    if liquid.limit:
        lines += [
            f"That is {liquid.limit}: the {name} is taken at {temperature(liquid.temp_c)}"
            + (f" with {liquid.ice_g:.0f} g of ice" if liquid.ice_g else "")
            + f", and the dough comes out at {temperature(liquid.dough_c)} instead of {temperature(dough_temp_c)}."
        ]
    return lines


def _factor_lines(dough_temp_c: float, method: FactorMethod) -> list[str]:
    count = len(method.factors) + 1
    taken = " ".join(f"− {temperature(value_c)} ({name})" for name, value_c in method.factors)
    in_f = " ".join(f"− {f_from_c(value_c):.1f}" for _, value_c in method.factors)
    return [
        (
            f"By the bench card's factor method: {count} × {temperature(dough_temp_c)} {taken} "
            f"− {difference(method.friction_k)} (friction, the card's own figure) = {temperature(method.liquid_c)}."
        ),
        (
            f"  In °F: {count} × {f_from_c(dough_temp_c):.1f} {in_f} − {difference_f_from_c(method.friction_k):.1f} "
            f"= {f_from_c(method.liquid_c):.1f} °F; friction is a difference, so no 32 is added to it."
        ),
        FACTOR_METHOD_WORD,
    ]


def proof_working(
    *,
    stage: str,
    card: Card,
    readings: Readings,
    place_c: float,
    tau_s: float,
    estimate: Estimate,
    tolerance_k: float,
    uncertainty_k: float,
    mixed: bool = False,
    ahead_s: float = 0.0,
    stood: Stood = (),
) -> Working:
    """Return the working of a proof's time: what is wanted, how this dough goes, and where it gets there.

    ``mixed``: yeast and a sourdough both raise it. It ``stood`` in other places before, one after the other.
    """
    curve = CURVES[card.leaven]
    reference = curve.rate(REFERENCE_C)
    wanted_s, path = estimate.wanted_s, estimate.path
    lines = [
        (
            f"The formula's {length(card.time_s)} is for a dough that starts at {temperature(card.at_c)} and stands in "
            f"{temperature(card.place_c)}. It does as much as "
            f"{length((wanted_s + ahead_s) / reference)} at {temperature(REFERENCE_C, 0)}."
        ),
        *_before_lines(ahead_s / reference),
        *_leaven_lines(card.leaven, mixed=mixed),
        _readings_line(readings, card.at_c, place_c, path.shown_k),
        *_stood_lines(stood),
        f"It goes 63 % of the way to its place in {length(estimate.tau_s)}"
        + ("." if estimate.tau_s == tau_s else f" by its readings ({length(tau_s)} by its weight)."),
    ]
    if math.isfinite(estimate.seconds):
        lines.append(f"Pace against {temperature(REFERENCE_C, 0)}, and how much is done:")
        lines += [
            f"  after {length(at_s)}: {temperature(path.temp_c(at_s))}, "
            f"pace {curve.rate(path.temp_c(at_s)) / reference:.2f}, "
            f"done {_share(path.amount_s(at_s, curve=curve) / wanted_s)}"
            for at_s in (estimate.seconds * row / (ROWS - 1) for row in range(ROWS))
        ]
        lines.append(f"So it has done as much after {length(estimate.seconds)}.")
    else:
        lines.append("In this place it will not get there: find a warmer one.")
    lines.append(_range_line(estimate, tolerance_k, uncertainty_k))
    if estimate.wide:
        lines.append(
            f"Some of it happens below {temperature(COLD_DOUBTS[card.leaven][0], 0)}, where little is known of what "
            f"{card.leaven} still does: the range is wide."
        )
    return Working(f"Time of {stage}", tuple(lines))


def _before_lines(seconds: float) -> list[str]:
    """What the stages before leave for this one (s at the reference), where that is a minute or more."""
    if abs(seconds) < 60:
        return []
    if seconds > 0:
        return [f"It comes from the cold {length(seconds)} ahead, by the same measure: that is taken off."]
    return [f"It comes from the cold {length(-seconds)} behind, by the same measure: that is added."]


def _leaven_lines(leaven: Leaven, *, mixed: bool) -> list[str]:
    if leaven == "sourdough":
        limit = f"Above {temperature(NO_PROMISE_C, 0)} nobody can promise that it is sooner ready."
        alone = "yeast and sourdough: the rate is the sourdough's, as the file says" if mixed else "sourdough alone"
        return [f"Raised by {alone}: its yeast is fastest at {temperatures(27.0, 28.0)}. {limit}"]
    if mixed:
        return ["Raised by yeast and sourdough: the rate is the yeast's, which is the faster of the two in the warm."]
    return []


def _readings_line(readings: Readings, at_c: float, place_c: float, shown_k: float) -> str:
    if not readings:
        return (
            f"This dough has no reading yet, so it counts as {temperature(at_c)}; it stands in {temperature(place_c)}."
        )
    told = ", ".join(
        f"{temperature(temp_c)} {'at the start' if at_s == 0 else f'after {length(at_s)}'}" for at_s, temp_c in readings
    )
    shown = f", and by the last two goes as in {temperature(place_c + shown_k)}" if shown_k else ""
    return f"This dough read {told}; it stands in {temperature(place_c)}{shown}."


def _stood_lines(stood: Stood) -> list[str]:
    """The places before this one, and until when."""
    if not stood:
        return []
    told = (f"in {temperature(there_c)} until {length(until_s)}" for until_s, there_c, _tau_s in stood)
    return [f"Before that it stood {', then '.join(told)}."]


def _range_line(estimate: Estimate, tolerance_k: float, uncertainty_k: float) -> str:
    doubt = (
        f"The probe may be off by {difference(tolerance_k)}, the place by {difference(uncertainty_k)}, "
        f"the pace of its cooling or warming by {_share(estimate.path.tau_doubt)}"
    )
    if not math.isfinite(estimate.low_s):
        return f"{doubt}: it will not get there either way."
    if not math.isfinite(estimate.high_s):
        return f"{doubt}: from {length(estimate.low_s)} to never."
    return f"{doubt}: from {length(estimate.low_s)} to {length(estimate.high_s)}."


def _joules(value_j: float) -> str:
    return f"{value_j:.0f} J"


def _signed(value: float) -> str:
    return f"{value:+.1f}".replace("-", "−")


def _share(value: float) -> str:
    return f"{value * 100:.0f} %"
