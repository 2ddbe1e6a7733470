"""Why nothing more can be said of a bake, whatever it is."""

from __future__ import annotations

from proofbell.bake.intents import Refused
from proofbell.bake.state import BakeState

NOT_BEGUN = Refused("No stage is running.", "Begin the bake first.")


def closed(state: BakeState) -> Refused | None:
    """Why nothing more can be done, when the bake is over."""
    if state.closed is None:
        return None
    outcome = "finished" if state.closed.outcome == "finished" else "given up"
    return Refused(f"This bake is {outcome}.", "Notes, scores and a weight can still be added.")
