"""Another size while the dough is not divided: more or fewer pieces, of another weight, or what there is."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.by_place import where_they_stand
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.in_bowl import in_bowl_g
from proofbell.bake.weigh.ways import ways
from proofbell.bake.weigh.ways_words import cannot_words
from proofbell.errors import Failure


def resize(state: BakeState, intent: intents.Resize, _now: Stamp) -> Bodies:
    """The batch becomes another size; what depends on its mass, a proof's time where it stands, goes with it."""
    try:
        found = ways(state, intent)
    except Failure as failure:
        return Refused(failure.message, failure.remedy)
    if found.cannot is not None:
        return Refused(*cannot_words(state, found))
    taken = found.all[0].found
    body = kinds.Resized(taken.batch, intent.wish, in_bowl_g(state), taken.least_flour_g, taken.same_dough)
    return [body, *where_they_stand(replace(state, batch=taken.batch))]
