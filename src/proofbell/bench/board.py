"""All live bakes at one moment: what each wants, what comes up over all of them, and who is the most urgent."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace
from datetime import datetime, timedelta, timezone
from typing import Literal

from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.asking.timer import LETTER, Timer
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.events import LETTERS
from proofbell.bake.heats import first_heat_c, last_heat_c, let_go, takes_s
from proofbell.bake.outlook import next_bake, outlook
from proofbell.bake.prompts import rings
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import BakeView, view
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.admission import Inside, in_its_turn, inside, no_place, no_place_words
from proofbell.bench.row_order import in_rows
from proofbell.bench.stage_steps import hands_needed
from proofbell.dough.oven import heat_up_s
from proofbell.frozen import dataclass
from proofbell.words import hour_minute

Use = Literal["heating", "hot", "baking", "hands"]

LEAST_OFF_S = 10 * 60
"""For less than this an oven is not turned off: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Coming:
    """Something that a bake wants at a UTC moment (µs). ``now`` is true when its time has come.

    Of a timer ``bake`` is the timer's own name in the journal.
    """

    at_us: int
    letter: str
    bake: str
    prompt: Prompt
    now: bool

    @property
    def is_timer(self) -> bool:
        """Whether it is a timer of the baker's own, and no dough's wish."""
        return self.prompt.kind == "timer"


@dataclass(frozen=True, slots=True)
class Busy:
    """A stretch of time (UTC, µs) in which a bake uses the oven or the hands. ``heat_c``, ``places``: for the oven.

    ``hot``: it was told to be on, and waits for the bake.
    """

    use: Use
    letter: str
    begin_us: int
    end_us: int
    heat_c: float | None = None
    places: int = 1


@dataclass(frozen=True, slots=True)
class Board:
    """The bench at ``now``. ``views`` are in the order of the bench, ``coming`` in order of time, the overdue first."""

    now: Stamp
    views: tuple[BakeView, ...]
    coming: tuple[Coming, ...]
    rings: tuple[Coming, ...]
    oven: tuple[Busy, ...]
    hands: tuple[Busy, ...]
    urgent: str | None
    before: Mapping[str, OvenBefore] = field(default_factory=dict)
    oven_kept: frozenset[str] = frozenset()
    inside: tuple[Inside, ...] = ()
    places: int = 1

    def of(self, bake: str) -> BakeView | None:
        """The view of one bake."""
        return next((one for one in self.views if one.bake == bake), None)

    def after(self, bake: str | None) -> str | None:
        """The next bake that wants something: what rings, then hands that are past their time; else in urgency.

        What is finished wants nothing, and is passed by.
        """
        wanting = [one.bake for one in self.rings if not one.is_timer] + [
            one.bake for one in self.views if self._past_its_time(one)
        ]
        order = list(dict.fromkeys(wanting))
        if not any(one != bake for one in order):
            live = [one for one in self.views if one.mode != "closed"]
            order = [one.bake for one in sorted(live or self.views, key=_urgency)]
        if bake not in order:
            return order[0] if order else None
        return order[(order.index(bake) + 1) % len(order)]

    def _past_its_time(self, one: BakeView) -> bool:
        """Whether hands have been on it for longer than was meant: nothing rings then, and it waits all the same."""
        return one.mode == "up" and one.until_us is not None and one.until_us <= self.now.wall_us

    def asks_first(self, state: BakeState, *, unread: bool = False) -> tuple[str, ...]:
        """What is asked before the running stage of a bake is ended; ``unread``: but for a core that nobody read."""
        kept = state.id in self.oven_kept
        own = ask_first(state, state.now_s(self.now), self.before.get(state.id), oven_kept=kept, unread=unread)
        taken = no_place(state, self.inside, self.places)
        return own if taken is None else (*own, no_place_words(state, taken, self.places))

    def beside(self, bake: str | None, step: int) -> str | None:
        """The bake ``step`` rows down (or up, when negative); round the end."""
        order = [one.bake for one in self.views]
        if not order or bake not in order:
            return order[0] if order else None
        return order[(order.index(bake) + step) % len(order)]


def board(states: Sequence[BakeState], now: Stamp, places: int = 1, timers: Iterable[Timer] = ()) -> Board:
    """Look at all live bakes and timers at one moment; ``places``: of the kitchen's oven as it is now."""
    ordered = sorted(states, key=lambda state: (state.letter, state.id))
    before = oven_before(ordered, now)
    kept = oven_kept(ordered, before, now)
    there = inside(ordered, now)
    views = tuple(
        _in_turn(_view(state, now, before.get(state.id), oven_kept=state.id in kept), state, now, there, places)
        for state in ordered
    )
    pairs = list(zip(ordered, views, strict=True))
    timed = [_timed(timer, now) for timer in timers]
    coming = sorted(
        (*timed, *(_coming(state, prompt, now) for state, one in pairs for prompt in (*one.wants, *one.coming))),
        key=lambda c: (c.at_us, c.letter),
    )
    ringing = [one for one in timed if one.now]
    ringing += [_coming(state, prompt, now) for state, one in pairs for prompt in one.rings]
    urgent = min(views, key=_urgency, default=None)
    shown = {view.bake: view for view in views}
    return Board(
        now=now,
        views=tuple(shown[state.id] for state in in_rows(states)),
        coming=tuple(coming),
        rings=tuple(sorted(ringing, key=lambda c: (c.at_us, c.letter))),
        oven=tuple(busy for state, one in pairs for busy in oven_use(state, one, now)),
        hands=tuple(busy for state, one in pairs for busy in hands_use(state, one, now)),
        urgent=None if urgent is None else urgent.bake,
        before=before,
        oven_kept=kept,
        inside=there,
        places=places,
    )


def free_letter(taken: Iterable[str]) -> str | None:
    """The first letter that is not ``taken``, or None when the bench is full."""
    held = set(taken)
    return next((letter for letter in LETTERS if letter not in held), None)


def wall_us(state: BakeState, at_s: float, now: Stamp) -> int:
    """The UTC moment (µs) of one of a bake's own times, as the clock stands now."""
    return now.wall_us + round((at_s - state.now_s(now)) * 1_000_000)


def oven_use(state: BakeState, one: BakeView, now: Stamp) -> tuple[Busy, ...]:
    """Heating up and baking, past and to come: heating from when the oven was told to be on, else in time."""
    found: list[Busy] = []
    for span in one.spans:
        if span.kind != "bake":
            continue
        heat_c = first_heat_c(state, span.stage)
        begin_us, end_us = wall_us(state, span.begin_s, now), wall_us(state, span.end_s, now)
        found.append(Busy("baking", state.letter, begin_us, end_us, heat_c, oven_places(state.formula, state.batch)))
        if heat_c is not None:
            on_s, hot_s = _heated(state, span.stage, heat_c, span.begin_s)
            on_us, hot_us = wall_us(state, on_s, now), wall_us(state, hot_s, now)
            found.append(Busy("heating", state.letter, on_us, hot_us, heat_c))
            if hot_us < begin_us:
                found.append(Busy("hot", state.letter, hot_us, begin_us, heat_c))
    return tuple(found)


def _heated(state: BakeState, index: int, heat_c: float, begin_s: float) -> tuple[float, float]:
    """When the oven is put on for a bake, and when it is hot (the bake's own time, s): as told, else just in time."""
    on, hot = (state.mark(OvenTask(kind, index)) for kind in ("oven on", "oven hot"))
    needs_s = takes_s(state, heat_c, None if on is None else on.from_c)
    if on is None and hot is None:
        return begin_s - needs_s, begin_s
    hot_s = hot.at_s if hot is not None else begin_s if on is None else on.at_s + needs_s
    return (hot_s - needs_s if on is None else on.at_s), min(hot_s, begin_s)


def hands_use(state: BakeState, one: BakeView, now: Stamp) -> tuple[Busy, ...]:
    """When the bake needs a pair of hands, as the plan has it: at a stage's start, all through it, or at its end."""
    found: list[Busy] = []
    for span in one.spans:
        begin_s, end_s = span.begin_s, span.end_s
        at_start_s, at_end_s = hands_needed(state.stage(span.stage), round(end_s - begin_s))
        parts = [(begin_s, end_s if at_start_s is None else begin_s + at_start_s), (end_s - at_end_s, end_s)]
        found += [
            Busy("hands", state.letter, wall_us(state, begin, now), wall_us(state, end, now))
            for begin, end in parts
            if begin < end
        ]
    return tuple(sorted(found, key=lambda busy: busy.begin_us))


def _coming(state: BakeState, prompt: Prompt, now: Stamp) -> Coming:
    at_us = wall_us(state, prompt.due_s, now)
    return Coming(at_us, state.letter, state.id, prompt, at_us <= now.wall_us)


def _timed(timer: Timer, now: Stamp) -> Coming:
    at_us = timer.due_us(now)
    return Coming(at_us, LETTER, timer.id, timer.prompt, at_us <= now.wall_us)


def oven_before(states: Sequence[BakeState], now: Stamp) -> dict[str, OvenBefore]:
    """For each bake (id) that another has the oven before: that one's heat, and when it is out.

    A gap longer than heating up afresh is not bridged: the oven is off in between, if that is worth it.
    """
    turns = sorted(
        (turn for state in states for turn in _turns(state, now)), key=lambda turn: (turn.begin_us, turn.letter)
    )
    found: dict[str, OvenBefore] = {}
    for state in states:
        coming = next_bake(state, state.now_s(now))
        heat_c = None if coming is None else first_heat_c(state, coming[0])
        if coming is None or heat_c is None:
            continue
        begin_us = wall_us(state, coming[1], now)
        earlier = [
            turn for turn in turns if turn.bake != state.id and (turn.begin_us, turn.letter) < (begin_us, state.letter)
        ]
        fresh_s = heat_up_s(state.kitchen.room_c, heat_c, heat_up_s=state.kitchen.oven.heat_up_s)
        if earlier and begin_us - earlier[-1].end_us < (fresh_s + LEAST_OFF_S) * 1_000_000:
            until_s = state.now_s(now) + (earlier[-1].end_us - now.wall_us) / 1_000_000
            found[state.id] = OvenBefore(earlier[-1].heat_c, until_s, earlier[-1].bake)
    return found


def oven_kept(states: Sequence[BakeState], before: Mapping[str, OvenBefore], now: Stamp) -> frozenset[str]:
    """The bakes after which nobody need turn the oven off.

    Another has it, or comes before it is worth heating afresh; or another was out later, and is asked instead.
    """
    bridged = {one.bake for one in before.values()}
    holders = [state.id for state in states if holds_oven(state)]
    out_us = {state.id: end_us for state in states if (end_us := _out_us(state, now)) is not None}
    last = max(out_us, key=lambda bake: (out_us[bake], bake), default=None)
    return frozenset(
        s.id
        for s in states
        if s.id in bridged
        or any(holder != s.id for holder in holders)
        or (s.id in out_us and s.id != last)
        or (s.id in holders and _another_first(s, states, now))
    )


def _another_first(state: BakeState, states: Sequence[BakeState], now: Stamp) -> bool:
    """Whether another goes into the oven before the bake that it was turned on for."""
    coming = next_bake(state, state.now_s(now))
    if coming is None:
        return False
    begin_us = wall_us(state, coming[1], now)
    others = (turn for other in states if other.id != state.id for turn in _turns(other, now))
    return any(now.wall_us < turn.end_us and turn.begin_us < begin_us for turn in others)


def _out_us(state: BakeState, now: Stamp) -> int | None:
    """When a bake last let go of the oven (UTC, µs)."""
    left = let_go(state)
    return None if left is None else wall_us(state, left.at_s, now)


def holds_oven(state: BakeState) -> bool:
    """Whether a bake is in the oven, or somebody has turned it on for it."""
    if state.closed is not None:
        return False
    return any(
        state.stage(i).kind == "bake"
        and run.ended_s is None
        and (run.begun_s is not None or state.done(OvenTask("oven on", i)))
        for i, run in enumerate(state.stages)
    )


@dataclass(frozen=True, slots=True)
class _Turn:
    """A bake in the oven, before, now or to come (UTC, µs), and the heat it leaves until somebody turns it off."""

    bake: str
    letter: str
    begin_us: int
    end_us: int
    heat_c: float


def _turns(state: BakeState, now: Stamp) -> list[_Turn]:
    if not state.begun:
        return []
    # Of a bake that is over only what was in the oven counts.
    return [
        _Turn(state.id, state.letter, wall_us(state, span.begin_s, now), wall_us(state, span.end_s, now), heat_c)
        for span in outlook(state, state.now_s(now), lit=True)
        if span.kind == "bake"
        and (state.closed is None or state.stages[span.stage].begun_s is not None)
        and not state.done(OvenTask("oven off", span.stage))
        and (heat_c := last_heat_c(state, span.stage)) is not None
    ]


def _view(state: BakeState, now: Stamp, before: OvenBefore | None, *, oven_kept: bool) -> BakeView:
    """The view, its moments told by the wall clock as it stands now, should somebody have set it."""
    one = view(state, state.now_s(now), before, oven_kept=oven_kept)
    by_us = wall_us(state, 0.0, now) - state.wall_us(0.0)

    def moved(us: int | None) -> int | None:
        return None if us is None else us + by_us

    return replace(one, until_us=moved(one.until_us), ready_us=one.ready_us + by_us, next_due_us=moved(one.next_due_us))


def _in_turn(one: BakeView, state: BakeState, now: Stamp, there: Sequence[Inside], places: int) -> BakeView:
    """The view with what it wants of the oven told as the oven has place for it."""

    def told(prompts: tuple[Prompt, ...]) -> tuple[Prompt, ...]:
        at_us = [max(now.wall_us, wall_us(state, prompt.due_s, now)) for prompt in prompts]
        in_turn = (in_its_turn(state, p, at, there, places) for p, at in zip(prompts, at_us, strict=True))
        return tuple(_until(state, prompt, now) for prompt in in_turn)

    wants = told(one.wants)
    first = wants[0].words if wants else _when_hot(state, one, now) or one.do
    return replace(
        one,
        wants=wants,
        rings=tuple(prompt for prompt in told(one.rings) if rings(state, prompt, state.now_s(now))),
        coming=told(one.coming),
        do=first[:1].upper() + first[1:],
    )


def _when_hot(state: BakeState, one: BakeView, now: Stamp) -> str:
    """``load when hot, 07:02`` for a dough that is ready while its oven is still heating; else nothing."""
    ready = next((p for p in one.coming if p.over), None)
    if ready is None or one.mode != "over":
        return ""
    return f"{ready.words}, {_hour(state, ready.due_s, now)}"


def _until(state: BakeState, prompt: Prompt, now: Stamp) -> Prompt:
    """The prompt with the hour until which what is done holds: ``oven off until 05:21``."""
    if prompt.until_s is None:
        return prompt
    return replace(prompt, words=f"{prompt.words} until {_hour(state, prompt.until_s, now)}")


def _hour(state: BakeState, at_s: float, now: Stamp) -> str:
    here = timezone(timedelta(minutes=now.offset_min))
    return hour_minute(datetime.fromtimestamp(wall_us(state, at_s, now) / 1_000_000, here))


def _urgency(one: BakeView) -> tuple[int, float, str]:
    """Wanting something now first, the longest waiting before; then what hands are on; then by what is due next."""
    if one.mode == "closed":
        return 3, 0.0, one.letter
    due_us = float("inf") if one.next_due_us is None else float(one.next_due_us)
    return (0 if one.wants else 1 if one.mode == "up" else 2), due_us, one.letter
