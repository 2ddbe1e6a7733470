"""A plan in words: how it stands, why doughs cannot be as they are wanted, the ways out, and what a night is to it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.session.choice import Choice
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.stamp import Stamp
from proofbell.bench.day_words import late_hands_words, night_words
from proofbell.bench.plan.reason_words import reason_words, way_out_words
from proofbell.bench.plan.timetable import Timetable
from proofbell.journal.learning.use import said
from proofbell.nights import LATE_HOURS
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Clash, Plan
from proofbell.planner.reasons import Reason, worst
from proofbell.words import counted, length, listed

WANTS = {"hands": "both want hands", "oven": "both want the oven"}


def stands(day: PlanDay, plan: Plan | None, origin_us: int, *, may_begin: bool, searching: bool) -> str:
    """How it stands with the plan, for the title.

    Args:
        day: what is asked for.
        plan: the best so far.
        origin_us: the plan's origin, UTC µs.
        may_begin: whether the new bakes may be begun by it.
        searching: whether a better one is looked for.
    """
    if plan is None:
        return "working it out …" if day.bakes or searching else "choose what to bake"
    if not day.bakes:
        return "the bench; choose what else to bake"
    if not plan.feasible:
        told = "works, except for a dough already on the bench" if may_begin else "does not fit like this"
    elif late := day.late(plan, origin_us):
        told = f"{_listed(late)} late" if len(late) <= 3 else f"{len(late)} of {len(plan.times)} are late"
    else:
        told = "works, all ready when wanted" if day.anybody_waits else "works, as early as possible"
    return f"{told}{', looking for a better one …' if searching else ''}"


def forgotten_words(day: PlanDay, key: str) -> str:
    """What is asked before a plan is left that is not on the bench; ``key`` puts it there."""
    new = [bake for bake in day.bakes if not bake.bake]
    if new:
        return f"Forget the plan of {counted(len(new), 'dough')}? None of it is on the bench; {key} puts it there."
    return f"Forget the hours of this plan? The bench does not have them yet; {key} puts them there."


def plan_words(
    plan: Plan,
    table: Timetable,
    origin_us: int,
    ways: Sequence[WayOut] | None,
    now: Stamp,
    *,
    may_begin: bool = False,
    reasons: Sequence[Reason] = (),
    here: str = "",
    late: Sequence[tuple[int, int]] = (),
) -> tuple[list[Content], list[Content], list[Content]]:
    """Why doughs cannot be as they are wanted; the ways out of the first clash; what each night is to the plan.

    ``ways``, each with the key that takes it, are None while they are looked for. ``may_begin``: only the doughs on the
    bench cannot keep their times. The reason that the ways are about comes last, before it that of the dough ``here``.
    ``late``: hours (UTC, µs) in which hands are worth a word.
    """

    def clock(at_us: int) -> str:
        return hour_minute(at_us, now)

    clash = plan.clashes[0] if plan.clashes else None
    own_reason = worst(reasons)
    about = clash.second_letter if clash is not None else "" if own_reason is None else own_reason.letter
    told = [
        (reason.letter == about, reason.letter == here, -reason.late_s, reason_words(plan, reason, origin_us, clock))
        for reason in reasons
    ]
    if clash is not None and not any(reason.letter == about for reason in reasons):
        told.append((True, False, 0, _clash_words(plan, clash, clock(origin_us + clash.at_s * 1_000_000))))
    why = [outside(f"✗ {words}", most=300).stylize("bold $error") for *_, words in sorted(told)]
    out = [own(f"{number} ") + outside(f"{way_out_words(way)}{_left(way)}") for number, way in enumerate(ways or (), 1)]
    if clash is not None and not out:
        out.append(own("Looking for ways out …", "$quiet") if ways is None else own("No single change fixes it."))
    if may_begin and not plan.feasible:
        out.append(own("Only doughs already on the bench clash; the new ones can begin all the same."))
    nights = [*night_words(table, clock), *late_hands_words(table, late, LATE_HOURS, clock)]
    return why, out, [outside(words, most=2000) for words in nights]


def fitted(parts: tuple[list[Content], list[Content], list[Content]], width: int, height: int) -> list[Content]:
    """The words in so many lines: the ways out whole, of reasons and nights as much as there is room for."""
    why, nights = ([wrapped(each, width) for each in part] for part in (parts[0], parts[2]))
    ways = _beside(parts[1], width)
    night = [line for each in nights for line in each]
    room = max(1, height - len(ways) - min(1, len(night)))
    # The last reason is what the ways are about: the others give way first.
    while len(why) > 1 and sum(map(len, why)) > room:
        why.pop(0)
    left = len(parts[0]) - len(why)
    lines = [line for each in why for line in each]
    if left and len(lines) < room:
        lines.insert(0, own(f"✗ {counted(left, 'dough')} more cannot be ready when wanted.", "bold $error"))
    lines += ways
    spare = max(0, height - len(lines))
    if len(night) > spare:
        night = night[:spare]
        if night:
            night[-1] = wrapped(night[-1], width - 2)[0] + own(" …")
    return [*lines, *night][:height]


def _beside(ways: Sequence[Content], width: int) -> list[Content]:
    """As many ways beside each other as fit on a line; what is longer than one goes on below its words."""
    lines: list[Content] = []
    for way in ways:
        if lines and lines[-1].cell_length + 3 + way.cell_length <= width:
            lines[-1] = lines[-1] + own("   ") + way
            continue
        first, *more = wrapped(way, width - 2)
        lines += [first, *(own("  ") + line for line in more)]
    return lines


def _clash_words(plan: Plan, clash: Clash, at: str) -> str:
    first, second = (
        f"{letter} {plan.problem.by_letter[letter].steps[step].name}"
        for letter, step in ((clash.first_letter, clash.first_step), (clash.second_letter, clash.second_step))
    )
    wants = WANTS.get(clash.about)
    if wants:
        return f"{first} and {second} {wants} at {at}."
    return f"{clash.second_letter} cannot be on time: even if started at {at} it is {length(clash.over_s)} late."


def _left(way: WayOut) -> str:
    """What is still late then."""
    return "" if way.late_s < 60 else f" ({length(way.late_s)} late in total)"


def _listed(letters: Sequence[str]) -> str:
    verb = "is" if len(letters) == 1 else "are"
    return f"{listed(letters)} {verb}"


def learned_words(choice: Choice) -> str:
    """Which numbers come from past bakes."""
    used = [said(one) for one in choice.learned.used if one.quantity == "oven heat-up"]
    hands = sum(1 for one in choice.learned.used if one.quantity == "hands")
    used += [f"your own pace at {hands} hands stages"] if hands else []
    return f"Learned: {'; '.join(used)}." if used else ""


def moved_by_hand(letter: str, by_us: int) -> str:
    """``A: 20 min later, by hand.``; by how much its start differs now from where the plan had it."""
    way = "later" if by_us > 0 else "earlier"
    return f"{letter}: {f'{length(abs(by_us) / 1e6)} {way}, by hand' if by_us else 'back where it was'}."
