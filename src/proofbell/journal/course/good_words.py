"""What goes with the good ones, in plain words."""

from __future__ import annotations

from proofbell.journal.course.good_ones import ENOUGH, Look, LookName
from proofbell.words import counted

TITLE = "What went with points"

SAYS = (
    "Rank correlation (Spearman): 1 or −1 is always together, 0 not at all. It says what went together, not why; what "
    "is best in the middle it cannot see."
)

_MORE: dict[LookName, tuple[str, str, str]] = {
    "kneaded_c": ("dough temperature", "warmer dough", "colder dough"),
    "proof_s": ("length of the proof", "longer proof", "shorter proof"),
    "room_c": ("room", "warmer room", "colder room"),
    "from_midwinter_days": ("time of year", "days nearer to mid-July", "days nearer to mid-January"),
    "over_s": ("proofs that went over", "longer going over", "less going over"),
}
"""What a figure is called, and what more and less of it are."""


def look_words(look: Look) -> str:
    """``More points with warmer dough: seen in 22 bakes …``, or that it may be chance, or that they are too few."""
    title, more, less = _MORE[look.name]
    capital = title[0].upper() + title[1:]
    if look.bakes < ENOUGH:
        return f"{capital}: known of {counted(look.bakes, 'scored bake')}, which is too few (it takes {ENOUGH})"
    if look.together is None:
        return f"{capital}: always the same in {look.bakes} bakes"
    if not look.counts:
        return f"{capital}: seen in {look.bakes} bakes; may be chance"
    r, low, high = (
        f"{each:.1f}".replace("-", "−") for each in (look.together.r, look.together.low, look.together.high)
    )
    with_what = more if look.together.r > 0 else less
    return f"More points with {with_what}: seen in {look.bakes} bakes, correlation {r} ({low} to {high})"
