"""The times of a dough by its card's figures one by one, as tests tell them."""

from __future__ import annotations

from typing import Any

from proofbell.dough import why
from proofbell.dough.fermenting import fermentation as model
from proofbell.dough.fermenting import wanted_time
from proofbell.dough.fermenting.drift import Drift
from proofbell.dough.fermenting.fermentation import REFERENCE_C, Card, Estimate
from proofbell.dough.fermenting.leaven import CURVES, Leaven
from proofbell.dough.fermenting.wanted_time import Place, TakeOut


def card_of(asked: dict[str, Any]) -> Card:
    """The card's figures, taken out of all that is asked."""
    tau_s = asked.pop("nominal_tau_s", None)
    return Card(
        asked.pop("nominal_s"),
        asked.pop("at_c"),
        asked.pop("nominal_place_c"),
        asked["tau_s"] if tau_s is None else tau_s,
        asked.pop("leaven", "yeast"),
        asked.pop("rise_percent", 0.0),
    )


def equal_time(**asked: Any) -> Estimate:  # noqa: ANN401 - as the function itself
    return model.equal_time(card_of(asked), **asked)


def place_for_time(**asked: Any) -> Place:  # noqa: ANN401
    return wanted_time.place_for_time(card_of(asked), **asked)


def when_to_take_out(**asked: Any) -> TakeOut:  # noqa: ANN401
    return wanted_time.when_to_take_out(card_of(asked), **asked)


def proof_working(**asked: Any) -> why.Working:  # noqa: ANN401
    return why.proof_working(card=card_of(asked), **asked)


def fermentation(
    start_c: float,
    place_c: float,
    tau_s: float,
    seconds: float,
    *,
    reference_c: float = REFERENCE_C,
    leaven: Leaven = "yeast",
) -> float:
    """How much a dough ferments in ``seconds``, in hours at ``reference_c``, by drift alone."""
    curve = CURVES[leaven]
    return Drift(start_c, place_c, tau_s).amount_s(seconds, curve=curve) / curve.rate(reference_c) / 3600
