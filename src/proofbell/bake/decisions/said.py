"""What is said beside the stages: tasks, notes, scores, marks, and taking back the last thing said."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.by_place import where_they_stand
from proofbell.bake.decisions.refused import closed
from proofbell.bake.doubt import outages
from proofbell.bake.events import LETTERS, Body, Event, is_letter
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.probe.live import PROBE
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Silenced, after_closing
from proofbell.bake.weigh.in_loads import in_other_loads, loads_of
from proofbell.bake.weigh.ways import ways
from proofbell.bake.weigh.ways_words import cannot_words
from proofbell.errors import Failure
from proofbell.formula.stages import LONGEST_STAGE_S


def task(state: BakeState, intent: intents.Task, _now: Stamp) -> Bodies:
    """Something small is done, or taken back. A bell may be silenced as often as it rings."""
    over = closed(state)
    if over is not None and not after_closing(intent.task):
        return over
    again = intent.done and isinstance(intent.task, Silenced)
    if state.done(intent.task) == intent.done and not again:
        return Refused("That is done already." if intent.done else "That was not done yet.")
    return [kinds.TaskDone(intent.task, state.current, intent.done)]


def note(state: BakeState, intent: intents.AddNote, _now: Stamp) -> Bodies:
    text = intents.said(intent.text, intents.MOST_NOTE)
    if not text:
        return Refused("An empty note says nothing.", "Type a few words.")
    return [kinds.NoteAdded(text, None if state.closed else state.current)]


def log_timer(_state: BakeState, intent: intents.LogTimer, _now: Stamp) -> Bodies:
    if not (math.isfinite(intent.length_s) and math.isfinite(intent.late_s)):
        return Refused("A timer has a length.")
    return [kinds.TimerLogged(intents.said(intent.name), intent.length_s, intent.what, intent.late_s)]


def score(_state: BakeState, intent: intents.GiveScore, _now: Stamp) -> Bodies:
    if not 0 <= intent.points <= 10:
        return Refused("Points go from 0 to 10.", "Give a number between the two.")
    return [kinds.ScoreGiven(intents.said(intent.line), intent.points, intents.said(intent.text))]


def mark(state: BakeState, intent: intents.MarkTypical, _now: Stamp) -> Bodies:
    if state.typical == intent.typical:
        return Refused("The bake is already marked that way.")
    return [kinds.BakeMarked(intent.typical)]


def take_row(state: BakeState, intent: intents.TakeRow, _now: Stamp) -> Bodies:
    if not math.isfinite(intent.row):
        return Refused("A row of the bench is a number.")
    if state.row == intent.row:
        return Refused("It is already there.")
    return [kinds.RowTaken(intent.row)]


def decline(state: BakeState, intent: intents.Decline, _now: Stamp) -> Bodies:
    if not 0 <= intent.stage < len(state.stages):
        return Refused("There is no such stage.")
    as_s = left_as_s(state, intent.stage)
    if as_s is None:
        return Refused("Nothing is planned for it.")
    return [kinds.PlanDeclined(intent.stage, as_s)]


def left_as_s(state: BakeState, index: int) -> float | None:
    """What a no to the plan leaves as it is (s): a stage's length; before the bake has begun, its start."""
    return state.stages[index].length_s if state.begun else state.start_s


def put_away(state: BakeState, _intent: intents.PutAway, _now: Stamp) -> Bodies:
    if state.closed is None:
        return Refused("Only a bake that is over can be put away.")
    return Refused("It is put away already.") if state.away else [kinds.PutAway()]


def take_oven(state: BakeState, intent: intents.TakeOven, _now: Stamp) -> Bodies:
    """Heats are told for the kitchen's oven as it is now."""
    own, new = state.kitchen.oven, intent.oven
    oven = replace(own, kind=new.kind, fan_less_k=new.fan_less_k, dial=new.dial, trays=new.trays)
    return Refused("That oven is set already.") if oven == own else [kinds.OvenChanged(oven)]


def take_letter(state: BakeState, intent: intents.TakeLetter, _now: Stamp) -> Bodies:
    """Another letter, for a bake whose own a live one has."""
    if not is_letter(intent.letter):
        return Refused("There is no such letter on the bench.", f"They go from {LETTERS[0]} to {LETTERS[-1]}.")
    if intent.letter == state.letter:
        return Refused("It already has that letter.")
    return [kinds.LetterGiven(intent.letter, intents.said(intent.why))]


def last_said(state: BakeState) -> tuple[Event, ...]:
    """The events of the newest decision that can be taken back; empty when there is none."""
    by_itself = _of_probe(state)
    for event in reversed(state.events):
        if event.decision in by_itself:
            continue
        # How the bake was opened, what its places make of its times with it, is not taken back.
        if event.decision == 1:
            return ()
        if event.number not in state.undone and _can_be_undone(event.body):
            return tuple(
                e
                for e in state.events
                if e.decision == event.decision and e.number not in state.undone and _can_be_undone(e.body)
            )
    return ()


def _of_probe(state: BakeState) -> frozenset[int]:
    """The decisions that a probe made by talking: nobody said them, so the key that takes back goes past them."""
    return frozenset(
        each.decision
        for each in state.events
        if isinstance(each.body, kinds.ReadingTaken) and each.body.source == PROBE
    )


def _rests_on(state: BakeState, taken_back: tuple[Event, ...]) -> list[Event]:
    """What a probe did since that falls with what is taken back.

    Its changes of a time, and what it read in a stage that runs no more.
    """
    by_itself, first = _of_probe(state), taken_back[0].decision
    since = [
        each
        for each in state.events
        if each.decision > first and each.decision in by_itself and each.number not in state.undone
    ]
    if any(isinstance(each.body, kinds.StageBegun | kinds.StageEnded | kinds.BakeClosed) for each in taken_back):
        return since
    if not any(isinstance(each.body, kinds.TimeAdjusted | kinds.DoughMoved | kinds.Resized) for each in taken_back):
        return []
    timed = {each.decision for each in since if isinstance(each.body, kinds.TimeAdjusted)}
    return [each for each in since if each.decision in timed]


def _can_be_undone(body: Body) -> bool:
    """A silenced bell is no word of the baker's on the bake, and taking back is not taken back itself."""
    if isinstance(body, kinds.TaskDone):
        return not isinstance(body.task, Silenced)
    if isinstance(body, kinds.Corrected):
        return not body.undone
    return not isinstance(
        body,
        kinds.BakeOpened
        | kinds.StartPlanned
        | kinds.StageReopened
        | kinds.LetterGiven
        | kinds.OvenChanged
        | kinds.ClockSet
        | kinds.ProgramBack
        | kinds.TimerLogged,
    )


def undo(state: BakeState, intent: intents.Undo, _now: Stamp) -> Bodies:
    """Take back the last thing said, by a correction that names it."""
    taken_back = last_said(state)
    if not taken_back:
        return Refused("There is nothing to undo.")
    numbers = tuple(event.number for event in (*taken_back, *_rests_on(state, taken_back)))
    bodies: list[Body] = [kinds.Corrected(numbers, undone=True)]
    reopened = [event.body.stage for event in taken_back if isinstance(event.body, kinds.StageEnded)]
    bodies += [kinds.StageReopened(stage, "undone") for stage in reopened]
    back = any(isinstance(event.body, kinds.BakeClosed) for event in taken_back)
    if back and intent.letter is not None and intent.letter != state.letter:
        if not is_letter(intent.letter):
            return Refused("There is no such letter on the bench.", f"They go from {LETTERS[0]} to {LETTERS[-1]}.")
        bodies.append(kinds.LetterGiven(intent.letter, f"{state.letter} was taken"))
    return bodies


def look(_state: BakeState, _intent: intents.Look, _now: Stamp) -> Bodies:
    """Nothing of its own: that the clock was set is noted with every decision."""
    return []


def back(_state: BakeState, intent: intents.Back, _now: Stamp) -> Bodies:
    away_s, ran_s = (max(0.0, one) if math.isfinite(one) else 0.0 for one in (intent.away_s, intent.ran_s))
    return [kinds.ProgramBack(away_s, ran_s=ran_s)]


def rebase(state: BakeState, intent: intents.Rebase, now: Stamp) -> Bodies:
    """From the new start on, the bake's own time is moved by what was not counted, or counted too much."""
    if not 0 <= intent.off_s <= LONGEST_STAGE_S:
        return Refused("The power can have been off for 0 min to 14 days.", "Give a rough length.")
    one = next((one for one in outages(state, now) if one.since == intent.since), None)
    if one is None:
        return Refused("The power was not off there.", "Look again: something changed meanwhile.")
    if one.settled and one.said_s == intent.off_s:
        return Refused("That is already recorded.")
    return [kinds.TimeRebased(one.since, intent.off_s, intent.off_s - one.by_clocks_s)]


def resize(state: BakeState, intent: intents.Resize, _now: Stamp) -> Bodies:
    """The batch becomes another size; what depends on that goes with it: a proof's time where it stands, its loads."""
    try:
        found = ways(state, intent)
    except Failure as failure:
        return Refused(failure.message, failure.remedy)
    if found.cannot is not None:
        return Refused(*cannot_words(state, found))
    taken = found.all[0].found
    there_g = tuple(each.in_bowl_g for each in taken.lines)
    loads = loads_of(state, taken.batch)
    body = kinds.Resized(taken.batch, intent.wish, there_g, taken.least_flour_g, taken.same_dough, loads)
    return [body, *where_they_stand(in_other_loads(replace(state, batch=taken.batch), loads))]
