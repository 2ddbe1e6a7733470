"""What a reading would change, in words, before it is taken. Pure: from the decision that saying it would make."""

from __future__ import annotations

from proofbell.app.session.local_time import hour_minute
from proofbell.bake.advice.advise import said_of_reading
from proofbell.bake.advice.butter import goes_on_now_s
from proofbell.bake.advice.core_words import core_says
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.core import core_in
from proofbell.bake.decisions.adjust import ROUGH, edge_words, kept_within
from proofbell.bake.decisions.decide import Decision, decided
from proofbell.bake.decisions.length_words import change_words, minutes, span
from proofbell.bake.decisions.reading_rules import but_for_the_plan_s
from proofbell.bake.events import Body, Corrected, ReadingTaken, TimeAdjusted
from proofbell.bake.fermenting.before_reading import likely_on_its_way
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.meant import meant_c
from proofbell.bake.fermenting.rule_readings import adjusting, edge_now
from proofbell.bake.fermenting.short_rise import rise_wanted, rise_wish, short_at_the_end, short_words
from proofbell.bake.intents import Refused
from proofbell.bake.readings import LIMITS, is_pair
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.wall import wall_us
from proofbell.formula.model import Check, ReadingKind
from proofbell.frozen import dataclass
from proofbell.words import percent, temperature, told_length

MINUTE_S = 60.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """``lines`` say what would change. ``refused``: it cannot be; ``odd``: it can, once it is said again."""

    lines: tuple[str, ...]
    refused: bool = False
    odd: bool = False


def outcome(
    state: BakeState, decision: Decision, now: Stamp, oven: OvenBefore | None = None, *, oven_kept: bool = False
) -> Outcome:
    """Put a decision into words. ``oven``: another bake has it first; ``oven_kept``: another wants it afterwards."""
    if isinstance(decision, Refused):
        # The dialog itself says how to say an odd value again.
        words = (decision.message,) if decision.odd else tuple(p for p in (decision.message, decision.remedy) if p)
        return Outcome(words, refused=not decision.odd, odd=decision.odd)
    lines = [line for event in decision for line in said_of(state, event.body, now)]
    changes = [event.body for event in decision if isinstance(event.body, TimeAdjusted)]
    after = decided(state, decision)
    said = said_of_reading(state, after, state.now_s(now), oven, oven_kept=oven_kept)
    advice = () if said is None else (said.short,)
    index = after.current
    if index is not None and goes_on_now_s(after, index, state.now_s(now)) is not None:
        nxt = after.formula.followed_by(index)
        then = "" if nxt is None else f": {after.stage(nxt).name} comes next"
        return Outcome((*lines, f"{after.stage(index).name} ends now{then}.", *advice))
    if not changes:
        return Outcome((*lines, *stands(after), unchanged(state, now), *_planned(after), *advice))
    for change in changes:
        name = state.stage(change.stage).name
        begun_s = state.stages[change.stage].begun_s
        due = ""
        if begun_s is not None:
            late = begun_s + change.to_s <= state.now_s(now)
            at = hour_minute(wall_us(state, begun_s + change.to_s, now), now)
            due = ", due now" if late else f", due {at}"
        lines.append(f"{name} {change_words(change.from_s, change.to_s)}{due}")
        lines += methods(after, change)
    told = () if any(change.by == "rise" for change in changes) else stands(after)
    return Outcome((*lines, *told, *advice))


def said_of(state: BakeState, body: Body, now: Stamp) -> tuple[str, ...]:
    """What a reading says before it changes anything.

    That the probe is corrected, the rise that two heights make, whether a core is done and else how long it takes yet.
    """
    at_s = state.now_s(now)
    if isinstance(body, ReadingTaken):
        what, value, raw, typed = body.what, body.value, body.raw, body.typed
    elif isinstance(body, Corrected) and not body.undone:
        what, at_s = next((each.what, each.at_s) for each in state.readings if each.number in body.events)
        value, raw, typed = body.value, body.raw, body.typed
    else:
        return ()
    if value is None:
        return ()
    if what == "rise":
        pair = (f"{typed}: a rise of {percent(value, 0)}.",) if is_pair(typed) else ()
        return pair if state.current is None else (*pair, *_unwished(state, state.current, at_s))
    told: tuple[str, ...] = ()
    if raw is not None and temperature(raw) != temperature(value):
        told = (f"The probe shows {temperature(raw)}, {temperature(value)} after its correction.",)
    return (*told, *core_says(state, state.current, value, at_s)) if what == "core temperature" else told


def _unwished(state: BakeState, index: int, at_s: float) -> tuple[str, ...]:
    """That a number alone changes nothing, where no card says how far the dough is to rise, before its time is over."""
    stage, due_s = state.stage(index), state.stages[index].due_s
    if stage.kind != "proof" or rise_wanted(stage) is not None or (due_s is not None and at_s >= due_s):
        return ()
    return ("The card names no rise to reach: say by eye whether it is ready.",)


def stands(state: BakeState) -> tuple[str, ...]:
    """What a reading leaves open once it is taken: it lies on an edge; a rise is short, and the card grants no time."""
    index = state.current
    if index is None or state.closed is not None:
        return ()
    told: list[str] = []
    edge, rule = edge_now(state, index), adjusting(state.stage(index))
    if edge is not None and rule is not None:
        told.append(edge_words(edge))
    short = short_at_the_end(state, index)
    if short is not None:
        words = short_words(short)
        told.append(f"{words[:1].upper()}{words[1:]}; judge it again then.")
    return tuple(told)


def methods(state: BakeState, change: TimeAdjusted) -> list[str]:
    """The formula's bands and the rate below each other, when either is known; else the reason."""
    found: list[str] = []
    if change.band_s is not None:
        found.append(f"by the formula  {minutes(change.band_s)}")
    if change.rate_s is not None:
        between = ""
        if change.rate_low_s is not None and change.rate_high_s is not None:
            between = f", {span(change.rate_low_s, change.rate_high_s)} by probe and place"
        found.append(f"by the rate     {minutes(change.rate_s)}{between}")
        if change.by == "rate":
            found.append(kept_within(forgives(state, change.stage), change.rate_s)[1])
    if change.rough:
        found.append(ROUGH)
    return [line for line in found if line] or [change.reason]


def _planned(state: BakeState) -> tuple[str, ...]:
    """That the plan has given the length, and not the reading."""
    index = state.current
    own_s = None if index is None or state.closed is not None else but_for_the_plan_s(state, index)
    return () if own_s is None else (f"That is the plan's length; by the dough alone it is {minutes(own_s)}.",)


def unchanged(state: BakeState, now: Stamp) -> str:
    """Nothing changes: say what stays."""
    index = state.current
    if index is None:
        return "Goes into the log; no time changes."
    run, stage = state.stages[index], state.stage(index)
    if stage.kind == "hands" or run.due_s is None:
        return f"Goes into the log; {stage.name} goes on."
    due, late_s = hour_minute(wall_us(state, run.due_s, now), now), state.now_s(now) - run.due_s
    if late_s >= MINUTE_S:
        return f"Goes into the log; {stage.name} is {told_length(late_s)} over, was due {due}."
    when = "now" if late_s >= 0 else due
    return f"Goes into the log; {stage.name} stays {minutes(run.length_s)}, due {when}."


def expected(state: BakeState, what: ReadingKind, check: Check | None, now_s: float, number: int | None = None) -> str:
    """``expected 24 to 26 °C``; for a core what it is done at, for a rise what is wanted; or nothing.

    ``check`` says what is expected of other things than a dough's temperature, ``number`` which check that answers.
    """
    index, span = state.current, LIMITS[what].span
    likely = None
    if index is not None and what == "dough temperature":
        likely = likely_on_its_way(state, index, now_s, number)
    if likely is not None:
        return f"expected {span(round(likely.low), round(likely.high))} by now"
    if index is not None and what == "dough temperature" and not in_the_cold(state, index):
        meant = meant_c(state, index, number)
        return "" if meant is None else f"expected {span(*meant)}"
    if check is not None and check.expect is not None:
        return f"expected {span(*check.expect)}"
    if index is None:
        return ""
    core = core_in(state, index) if what == "core temperature" else None
    if core is not None:
        return core.words if core.style else f"done at {core.words}"
    wish = rise_wish(state.stage(index))
    if what == "rise" and wish is not None:
        return f"wanted {span(*wish.wanted)}"
    return ""
