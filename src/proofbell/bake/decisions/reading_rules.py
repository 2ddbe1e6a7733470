"""What a reading makes happen: it is taken, it may change a stage's length, it may be put right later."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.advice.butter import MORE_MIN, soft_yet
from proofbell.bake.advice.core_words import READ_THE_SAME
from proofbell.bake.checks import carried, check_for, reads_in
from proofbell.bake.core import core_in
from proofbell.bake.decisions.adjust import Change, after_the_cold, by_reading
from proofbell.bake.decisions.by_place import adjusted, adjusted_with_the_rest, by_place
from proofbell.bake.decisions.by_rise import by_rise
from proofbell.bake.decisions.core_leap import core_leap
from proofbell.bake.decisions.lower_reading import by_a_lower_one
from proofbell.bake.decisions.out_of_the_cold import once_out
from proofbell.bake.events import Body
from proofbell.bake.fermenting.before_reading import likely_by_now, likely_on_its_way
from proofbell.bake.fermenting.cold import CLEAR_SHARE, in_the_cold
from proofbell.bake.fermenting.forgiven import BORNE_SHARE, forgives
from proofbell.bake.fermenting.meant import meant_c
from proofbell.bake.fermenting.place import in_the_room
from proofbell.bake.fermenting.place_words import where_words
from proofbell.bake.fermenting.rule_readings import adjusting, series
from proofbell.bake.fermenting.short_rise import judges_the_rise, rise_wish
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.readings import LIMITS, OR_A_RISE, impossible, is_temperature, odd
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState, Reading
from proofbell.bake.steps import as_taken
from proofbell.dough.probe import corrected_c
from proofbell.formula.dough_stages import STANDS
from proofbell.formula.model import ReadingKind
from proofbell.words import temperature, told_length

MOST_TYPED = 80


def read(state: BakeState, intent: intents.Read, now: Stamp) -> Bodies:
    """A reading is taken, and changes the running stage's length when its rule listens to it."""
    now_s = state.now_s(now)
    index = None if state.closed else reads_in(state, intent.what, now_s)
    check = None if index is None else check_for(state, index, intent.what, now_s)
    if index is not None and intent.what == "core temperature" and not _has_a_core(state, index):
        name = state.stage(index).name
        return Refused(f"No core is read in {name}: nothing is baked yet.", "Read it in the oven, or as it cools.")
    value = _true_value(state, intent.what, intent.raw, intent.eye, stage=index, at_s=now_s, sure=intent.sure)
    if isinstance(value, Refused):
        return value
    taken = kinds.ReadingTaken(
        what=intent.what,
        value=value,
        typed=intents.said(intent.typed, MOST_TYPED),
        stage=index,
        check=check,
        raw=intent.raw,
        eye=intent.eye,
        source=intents.said(intent.source, MOST_TYPED),
    )
    if index is None:
        return [taken]
    reading = as_taken(taken, state.next_number(now), now_s)
    after = replace(state, readings=(*state.readings, reading))
    return [taken, *_all_that_follows(after, index, reading)]


def _has_a_core(state: BakeState, index: int) -> bool:
    """Whether there is a crumb to read in a stage: in the oven, on the rack, or where its card asks for one."""
    stage = state.stage(index)
    return stage.kind in LIMITS["core temperature"].stages or any(c.read == "core temperature" for c in stage.checks)


def _all_that_follows(state: BakeState, index: int, reading: Reading) -> list[Body]:
    """The events for what a reading makes of the stage that runs; the room's goes for every proof to come as well."""
    change = what_follows(state, index, reading)
    if reading.what != "room temperature":
        return adjusted(state, index, change, reading.number)
    return adjusted_with_the_rest(state, index, change or by_place(state, index), reading.number)


def what_follows(state: BakeState, index: int, reading: Reading) -> Change | None:
    """What a reading that is already among ``state.readings`` makes of the length of the stage that runs.

    The rise goes before the temperature: a dough that was judged by its rise is not timed by its warmth again. A
    dough that was moved to another place keeps the time that was agreed for it there, and one whose length the plan has
    given keeps that while the dough forgives it: the plan would only ask for it back.
    """
    run, rule = state.stages[index], adjusting(state.stage(index))
    if judges_the_rise(state.stage(index), reading):
        return by_rise(state, index, reading.value, reading.eye, reading.at_s)
    soft_s = soft_yet(state, index, reading)
    if soft_s is not None:
        return Change(soft_s, "place", f"Dough {temperature(reading.value)} in the cold: {MORE_MIN} min more there.")
    if (
        run.agreed_place
        or (run.stood and in_the_cold(state, index))
        or any(a.body.by == "rise" for a in run.adjustments)
        or _planned_within(state, index)
    ):
        return None
    if reading.what == rule or (reading.what == "room temperature" and _in_the_room(state, index)):
        read = series(state, index)
        room = where_words(state, index) if reading.what != rule else ""
        change = by_reading(state, index, read, room)
        change = change if room else by_a_lower_one(state, index, read, change)
        said = room or (f"Dough {temperature(read[-1][1])}" if rule == "dough temperature" and read else "")
        return once_out(state, index, reading.at_s, change, said) or change
    return None


def _planned_within(state: BakeState, index: int) -> bool:
    """Whether the plan has given a length that the dough, as it was read, forgives, and that is near its own."""
    run, stretch = state.stages[index], forgives(state, index).stretch
    share = _planned_share(state, index)
    if share is None or stretch is None or not stretch[0] <= run.length_s <= stretch[1]:
        return False
    own_s = _own_s(state, index)
    return own_s is None or abs(own_s - run.length_s) <= share * own_s


def _planned_share(state: BakeState, index: int) -> float | None:
    """How far (as a share) a dough's own length may be from the plan's that stands; None where none stands.

    Where the plan took a stage as long as it was by itself, what is hardly a difference moves no hour of the day.
    """
    run, plan = state.stages[index], state.as_planned
    if run.adjustments and run.adjustments[-1].body.by == "plan":
        return BORNE_SHARE
    if plan is None or len(plan.ends_s) != len(state.stages):
        return None
    as_planned = abs(plan.ends_s[index] - plan.begins_s[index] - run.length_s) < 60
    return CLEAR_SHARE if as_planned else None


def _own_s(state: BakeState, index: int) -> float | None:
    """The length (s) that the newest reading of a dough gives its stage; None where nothing was read, or moves it."""
    read = series(state, index)
    change = by_reading(state, index, read) if read else None
    return None if change is None else change.to_s


def but_for_the_plan_s(state: BakeState, index: int) -> float | None:
    """The length (s) that the newest reading would have given a stage whose length the plan has given; else None."""
    if state.stages[index].agreed_place or not _planned_within(state, index):
        return None
    own_s = _own_s(state, index)
    return None if own_s is None or abs(own_s - state.stages[index].length_s) < 60 else own_s


def _in_the_room(state: BakeState, index: int) -> bool:
    """Whether a stage's time depends on how warm the room is."""
    return adjusting(state.stage(index)) == "dough temperature" and in_the_room(state, index)


def carried_over(begun: BakeState, index: int) -> list[Body]:
    """What a reading at the start of a stage that has just begun makes of its length, or else where it came from."""
    what = adjusting(begun.stage(index))
    read = () if what is None or what == "rise" else begun.readings_in(index, what)
    reading = read[-1] if read else None if what is None or what == "rise" else carried(begun, index, what)
    if reading is not None:
        return adjusted(begun, index, what_follows(begun, index, reading), reading.number)
    return adjusted(begun, index, after_the_cold(begun, index) or by_place(begun, index), None)


def correct(state: BakeState, intent: intents.Correct, _now: Stamp) -> Bodies:
    """An earlier reading gets another value; what it did to the running stage is worked out again."""
    reading = next((r for r in state.readings if r.number == intent.number), None)
    if reading is None:
        return Refused("There is no such reading to correct.", "Look at the bake's log for its number.")
    stage, at_s = reading.stage, reading.at_s
    others = replace(state, readings=tuple(r for r in state.readings if r is not reading))
    value = _true_value(others, reading.what, intent.raw, intent.eye, stage=stage, at_s=at_s, sure=intent.sure)
    if isinstance(value, Refused):
        return value
    if (value, intent.eye) == (reading.value, reading.eye):
        return Refused("The reading has that value already.")
    typed = intents.said(intent.typed, MOST_TYPED)
    corrected = kinds.Corrected(
        (reading.number,), undone=False, value=value, raw=intent.raw, typed=typed, eye=intent.eye
    )
    right = replace(reading, value=value, raw=intent.raw, typed=typed, eye=intent.eye)
    return [corrected, *_after_correction(state, right)]


def _after_correction(state: BakeState, right: Reading) -> list[Body]:
    """Work out the running stage's length as if the reading had been right from the first."""
    index = right.stage if right.stage in state.running else state.current
    if index is None or state.closed or not _newest_for(state, index, right):
        return []
    run = state.stages[index]
    others = tuple(a for a in run.adjustments if a.body.cause != right.number)
    mine = tuple(a for a in run.adjustments if a.body.cause == right.number)
    if any(a.number > right.number for a in others if a.body.by in ("rise", "plan")):
        return []
    # By hand counts on top of every rule, so it stays; what this reading did is taken out.
    before_s = run.length_s - sum(a.body.to_s - a.body.from_s for a in mine)
    readings = tuple(right if r.number == right.number else r for r in state.readings)
    base = replace(state, readings=readings)
    if judges_the_rise(state.stage(index), right):
        base = base.with_stage(index, replace(run, adjustments=others, length_s=before_s))
    change = what_follows(base, index, right)
    if change is None:
        if not mine:
            return []
        back = f"{right.what.capitalize()} corrected: {told_length(run.length_s)} back to {told_length(before_s)}."
        change = Change(before_s, mine[-1].body.by, back)
    return adjusted(state, index, change, right.number)


def _newest_for(state: BakeState, index: int, reading: Reading) -> bool:
    """Whether a reading is the last word of its kind on the stage that runs."""
    inside = state.readings_in(index, reading.what)
    if inside:
        return inside[-1].number == reading.number
    before = carried(state, index, reading.what)
    return before is not None and before.number == reading.number


def _true_value(
    state: BakeState,
    what: ReadingKind,
    raw: float | None,
    eye: kinds.Eye | None,
    *,
    stage: int | None,
    at_s: float,
    sure: bool,
) -> float | Refused | None:
    """The value after the probe's correction; refused when it cannot be, asked again when it is odd."""
    if raw is None:
        wanted = f"a number in %, {OR_A_RISE}" if what == "rise" else f"a number in {LIMITS[what].unit}"
        return None if eye is not None and what == "rise" else Refused("That is not a reading.", f"It needs {wanted}.")
    probe = state.kitchen.probe
    value = corrected_c(raw, probe.offset_k, probe.slope) if is_temperature(what) else raw
    limits = LIMITS[what]
    if impossible(what, value):
        low, high = (limits.said(each) for each in limits.possible)
        remedy = f"It must lie between {low} and {high}. Read it again."
        return Refused(f"A {what} of {_told(what, value)} cannot be right.", remedy)
    leap = core_leap(state, stage, value, at_s) if what == "core temperature" and stage is not None else None
    if leap is not None and stage is not None and not sure:
        ago_s = at_s - (state.stages[stage].begun_s or 0.0) - leap.at_s
        read = f"It read {temperature(leap.value_c)} {told_length(ago_s)} ago, and no crumb heats so fast"
        return Refused(f"{read}: {READ_THE_SAME}.", "Enter it again if it is right.", odd=True)
    expect = expected(state, stage, what, at_s)
    if unusual(state, stage, what, value, expect, at_s) and not sure:
        meant = "" if expect is None else f"; {limits.span(round(expect[0], 1), round(expect[1], 1))} is expected"
        return Refused(
            f"A {what} of {_told(what, value)} is unusual{meant}.", "Enter it again if it is right.", odd=True
        )
    return value


def _told(what: ReadingKind, value: float) -> str:
    """With the digits of an instrument, as it was read."""
    return temperature(value) if is_temperature(what) else LIMITS[what].said(value)


MOVED_K = 3.0
"""So far beside what the model says of a dough in the fridge it is asked again: common practice, no source."""


def as_it_was(state: BakeState, stage: int, at_s: float) -> BakeState:
    """A bake where its dough stood at a moment (the bake's own time, s), and as it was read until then."""
    run, readings = state.stages[stage], tuple(each for each in state.readings if each.at_s <= at_s)
    stood = tuple(each for each in run.stood if each.at_s <= at_s)
    return replace(state, readings=readings).with_stage(stage, replace(run, stood=stood))


def unusual(
    state: BakeState,
    stage: int | None,
    what: ReadingKind,
    value: float,
    expect: tuple[float, float] | None,
    at_s: float,
) -> bool:
    """Whether a reading (at a moment of the bake's own time, s) is to be asked again: far from what is ``expected``."""
    if stage is None:
        return odd(what, value, expect)
    state = as_it_was(state, stage, at_s)
    if what == "rise" and (value > _most_rise(state, stage, at_s) or _jumps_back(state, stage, value, at_s)):
        return True
    if what == "dough temperature" and _warms_in_the_cold(state, stage, value):
        return True
    moved = bool(state.stages[stage].stood)
    if what == "dough temperature" and expect and moved and in_the_cold(state, stage):
        return not expect[0] - MOVED_K <= value <= expect[1] + MOVED_K
    return odd(what, value, expect, state.stage(stage).kind)


AT_ONCE_PERCENT, FASTEST_PERCENT_S = 100.0, 4.0 / 60
"""A dough may have stood before anybody said so; above that, twice in 25 min is no dough's rise: common practice, no
source."""


COLDER_K = 8.0
"""No dough in the cold is so much warmer than it was read there before: common practice, no source."""


def _warms_in_the_cold(state: BakeState, stage: int, value_c: float) -> bool:
    """Whether a dough that stands in the cold is read much warmer than before, though nobody has moved it since."""
    read = [r for r in state.readings_in(stage, "dough temperature") if r.value is not None]
    if not read or not in_the_cold(state, stage):
        return False
    moved = any(each.at_s >= read[-1].at_s for each in state.stages[stage].stood)
    return not moved and value_c > (read[-1].value or 0.0) + COLDER_K


BACK_SHARE = 0.5
"""A dough that was ready sinks, but to less than half of what was wanted hardly: common practice, no source."""


def _jumps_back(state: BakeState, stage: int, value: float, at_s: float) -> bool:
    """Whether a rise (percent) is far short of what is wanted, though the one before it was judged to be enough."""
    wish = rise_wish(state.stage(stage))
    before = [r for r in state.readings_in(stage, "rise") if r.at_s <= at_s][-1:]
    if wish is None or value >= BACK_SHARE * wish.wanted[0]:
        return False
    return any(r.eye in ("ready", "too far") or (r.value or 0.0) >= wish.wanted[0] for r in before)


def _most_rise(state: BakeState, stage: int, at_s: float) -> float:
    """The most (percent) that a dough can have risen by since it was left to stand first."""
    stands = (i for i in range(state.formula.strand(stage).start, stage) if state.stage(i).kind in STANDS)
    begun_s = state.stages[next(stands, stage)].begun_s
    return AT_ONCE_PERCENT + FASTEST_PERCENT_S * (at_s - (begun_s or 0.0))


def expected(state: BakeState, stage: int | None, what: ReadingKind, at_s: float) -> tuple[float, float] | None:
    """From lowest to highest that the checks of a stage expect of a reading, or that a core is baked to; or None.

    Of a dough that was moved, or comes out of the cold, what the model says for the moment (s of the bake's own time),
    not what its card does. Where it was put later has no say in that.
    """
    state = state if stage is None else as_it_was(state, stage, at_s)
    likely = likely_by_now(state, stage, at_s) if stage is not None and what == "dough temperature" else None
    if likely is not None:
        return round(likely.low), round(likely.high)
    checks = () if stage is None else state.stage(stage).checks
    by_check = what == "dough temperature" and any(each.read == what and each.expect for each in checks)
    if stage is not None and by_check and not in_the_cold(state, stage):
        return meant_c(state, stage, check_for(state, stage, what, at_s))
    ranges = [check.expect for check in checks if check.read == what and check.expect is not None]
    if ranges:
        return min(low for low, _ in ranges), max(high for _, high in ranges)
    core = None if stage is None or what != "core temperature" else core_in(state, stage)
    return None if core is None else (core.low_c, core.high_c)


GUESSED_K = 3.0
"""So far beside what is expected a number that was taken for °F is asked about: common practice, no source."""


def far_from_expected(state: BakeState, what: ReadingKind, value: float, at_s: float) -> tuple[float, float] | None:
    """What is expected of a reading (at a moment of the bake's own time, s), where a guessed value is far from that.

    Of a dough on its way that is what the reading before makes likely by now, as the screen has it.
    """
    stage = None if state.closed else reads_in(state, what, at_s)
    expect = None if stage is None else expected(state, stage, what, at_s)
    if stage is not None and what == "dough temperature":
        likely = likely_on_its_way(state, stage, at_s, check_for(state, stage, what, at_s))
        expect = expect if likely is None else (round(likely.low), round(likely.high))
    return expect if expect and not expect[0] - GUESSED_K <= value <= expect[1] + GUESSED_K else None
