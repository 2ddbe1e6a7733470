"""The readings that a stage asks for: when each is due, which reading answers it, which were missed."""

from __future__ import annotations

from proofbell.bake.fermenting.kneading import KNEADING_S, machine_late_s
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.formula.model import Check, ReadingKind

EARLY_S = 5 * 60.0
EARLY_SHARE = 0.1
"""A reading answers a check that is due within five minutes, or within a tenth of a shorter stage: common practice, no
source. What is read earlier is taken, and the check still asked."""

HOLDS_S = 3600.0
"""What has risen enough is not judged again before an hour is over, if it was put into the cold: common practice, no
source."""

CARRIED_S = 10 * 60.0
"""A reading at the end of one stage still holds at the start of the next for this long: common practice, no source."""


def check_at_s(state: BakeState, index: int, check: Check) -> float:
    """How far into its stage a check is due (s)."""
    if check.when == "start":
        return 0.0
    return state.stages[index].length_s if check.at_s is None else check.at_s


def check_for(state: BakeState, index: int, what: ReadingKind, now_s: float) -> int | None:
    """The check of the running stage that a reading answers now: the first open one of its kind that is due or soon."""
    begun_s = state.stages[index].begun_s or 0.0
    early_s = min(EARLY_S, EARLY_SHARE * state.stages[index].length_s)
    for number, check in enumerate(state.stage(index).checks):
        due_s = begun_s + check_at_s(state, index, check)
        if check.read == what and due_s - early_s <= now_s and not answered(state, index, number):
            return number
    return None


def reads_in(state: BakeState, what: ReadingKind, now_s: float) -> int | None:
    """The stage that a reading belongs to: the one in hand, unless only another that runs has asked for it by now."""
    asked = (index for index in state.running if check_for(state, index, what, now_s) is not None)
    if state.current is None or check_for(state, state.current, what, now_s) is not None:
        return state.current
    return next(asked, state.current)


def answered(state: BakeState, index: int, number: int) -> bool:
    """Whether a check has its reading. One at the end is asked again when the stage was made longer after it.

    A rise that was judged early and ended the stage is the one that its end asks for.
    """
    check = state.stage(index).checks[number]
    if check.when == "end" and check.read == "rise" and _held_by_the_cold(state, index, check):
        return True
    ended_by = _ended_by(state, index) if check.when == "end" and check.read == "rise" else None
    taken = [reading for reading in state.readings_in(index) if reading.check == number or reading.number == ended_by]
    if check.when == "start" and not taken:
        return carried(state, index, check.read) is not None
    if check.when == "end" and taken:
        last = taken[-1].number
        return not any(a.number > last and a.body.to_s > a.body.from_s for a in state.stages[index].adjustments)
    return bool(taken)


def _held_by_the_cold(state: BakeState, index: int, check: Check) -> bool:
    """Whether the rise was enough as it was judged last, and its dough has been put into the cold for a while since."""
    run, wish, taken = state.stages[index], state.stage(index).rise, state.readings_in(index, "rise")
    wanted = check.expect if wish is None else wish.wanted
    if run.due_s is None or not taken:
        return False
    last = taken[-1]
    enough = last.eye in ("ready", "too far")
    if wanted is not None and last.value is not None:
        enough = last.value >= wanted[0]
    chilled = any(each.place_c < COLD_C and each.at_s >= last.at_s for each in run.stood)
    return enough and chilled and run.due_s - last.at_s <= HOLDS_S


def _ended_by(state: BakeState, index: int) -> int | None:
    """The number of the rise by which a stage is over sooner; None where its length was not given so last."""
    last = state.stages[index].adjustments[-1:]
    return next(
        (each.body.cause for each in last if each.body.by == "rise" and each.body.to_s < each.body.from_s), None
    )


def carried(state: BakeState, index: int, what: ReadingKind) -> Reading | None:
    """The reading of a moment before a stage began, which still holds at its start; None when there is none.

    None either where a machine has kneaded on since, long past its time: the dough is likely warmer than it was read.
    """
    begun_s = state.stages[index].begun_s
    if begun_s is None or index - 1 not in state.formula.strand(index):
        return None
    if what == "dough temperature" and machine_late_s(state, index - 1, begun_s) >= KNEADING_S:
        return None
    before = [reading for reading in state.readings_in(index - 1, what) if reading.value is not None]
    return before[-1] if before and begun_s - before[-1].at_s <= CARRIED_S else None


def missed_checks(state: BakeState, index: int, now_s: float) -> tuple[str, ...]:
    """The readings that a stage asked for and did not get, when it ends now.

    A stage that ends early is not blamed for what was due later; one at the end is met by a reading just before.
    """
    begun_s = state.stages[index].begun_s or 0.0
    missed: list[str] = []
    for number, check in enumerate(state.stage(index).checks):
        if answered(state, index, number) or (check.when == "into" and begun_s + (check.at_s or 0.0) > now_s):
            continue
        late = [r for r in state.readings_in(index, check.read) if now_s - r.at_s <= EARLY_S]
        if check.when != "end" or not late:
            missed.append(check.read)
    return tuple(missed)
