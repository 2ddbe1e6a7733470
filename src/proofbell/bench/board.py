"""All live bakes at one moment: what each wants, what comes up over all of them, and who is the most urgent."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import field, replace

from proofbell.bake.asking.offered import read_for
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.asking.timer import LETTER, Timer
from proofbell.bake.decisions.ask_first import ask_first, too_soon
from proofbell.bake.events import LETTERS
from proofbell.bake.prompts import at_it, rings
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId
from proofbell.bake.view import BakeView, view
from proofbell.bench.admission import (
    Inside,
    at_its_heat,
    heat_under_words,
    in_its_turn,
    inside,
    no_place,
    no_place_words,
    since_free,
)
from proofbell.bench.busy import Busy, hands_use, oven_use
from proofbell.bench.oven.place_free import once_free
from proofbell.bench.oven.queue import before_it, next_in, oven_queue
from proofbell.bench.oven.turns import oven_before, oven_kept
from proofbell.bench.row_order import in_rows
from proofbell.bench.waiting_bells import hands_on, waits_now
from proofbell.bench.wall import hour, wall_us
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Coming:
    """Something that a bake wants at a UTC moment (µs). ``now`` is true when its time has come.

    Of a timer ``bake`` is the timer's own name in the journal. ``still``: it calls, and its bell does not sound yet,
    for somebody is at it. ``after``: its bell waits until the hands are free of the dough with that letter.
    """

    at_us: int
    letter: str
    bake: str
    prompt: Prompt
    now: bool
    still: bool = False
    after: str = ""

    @property
    def is_timer(self) -> bool:
        """Whether it is a timer of the baker's own, and no dough's wish."""
        return self.prompt.kind == "timer"

    @property
    def once_out(self) -> bool:
        """Whether it is another heat once the bake before is out, and comes behind that."""
        task = self.prompt.task
        return isinstance(task, OvenTask) and task.kind == "oven on" and task.from_c is not None

    @property
    def order(self) -> tuple[int, bool, str]:
        """Where it stands in a list: by its moment to a thousandth of a second."""
        return round(self.at_us / 1000), self.once_out, self.letter


@dataclass(frozen=True, slots=True)
class Board:
    """The bench at ``now``. ``views`` are in the order of the bench, ``coming`` in order of time, the overdue first.

    ``rings``: what is in the oven before all else, for it burns; then a machine that runs on; then by time.
    ``next_in``: the letters of the doughs that are loaded next, in the order of their turns.
    """

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
    next_in: tuple[str, ...] = ()

    def of(self, bake: str) -> BakeView | None:
        """The view of one bake."""
        return next((one for one in self.views if one.bake == bake), None)

    @property
    def ringing(self) -> tuple[str, ...]:
        """The bakes that ring, each once, in the order of ``rings``."""
        return tuple(dict.fromkeys(one.bake for one in self.rings if not one.is_timer))

    def after(self, bake: str | None, *, on: bool = False) -> str | None:
        """The next bake that wants something: another one that rings, then what wants something now.

        Where no other does, all in urgency. What is finished wants nothing, and is passed by. ``on``: the key has just
        brought the hand to ``bake``, and goes on from there, through all of them.
        """
        order = list(dict.fromkeys((*self.ringing, *self._wanting())))
        if not any(one != bake for one in order):
            live = [one for one in self.views if one.mode != "closed"]
            order = self._by_urgency(live or self.views)
        elif not on and (ringing := [one for one in self.ringing if one != bake]):
            return ringing[0]
        if bake not in order:
            return order[0] if order else None
        return order[(order.index(bake) + 1) % len(order)]

    def _wanting(self) -> list[str]:
        """What wants something now, the most urgent first; behind it what is ready and only waits for the oven."""
        live = [one for one in self.views if one.mode != "closed"]
        waiting = [one for one in live if _waits_for_oven(one)]
        now = [one for one in live if one not in waiting and (one.wants or self._past_its_time(one))]
        return [*self._by_urgency(now), *self._by_urgency(waiting)]

    def _by_urgency(self, views: Iterable[BakeView]) -> list[str]:
        waits = _waiting(self.coming)
        return [one.bake for one in sorted(views, key=lambda one: _urgency(one, waits))]

    @property
    def is_waiting(self) -> bool:
        """Whether somebody is waited for: something rings, or hands are past their time."""
        return bool(self.rings) or any(self._past_its_time(one) for one in self.views)

    def _past_its_time(self, one: BakeView) -> bool:
        """Whether hands have been on it for longer than was meant: nothing rings then, and it waits all the same."""
        return one.mode == "up" and one.until_us is not None and one.until_us <= self.now.wall_us

    def asks_first(self, state: BakeState, *, unread: bool = False) -> tuple[str, ...]:
        """What is asked before the running stage of a bake is ended; ``unread``: but for a core that nobody read."""
        kept = state.id in self.oven_kept
        own = ask_first(state, state.now_s(self.now), self.before.get(state.id), oven_kept=kept, unread=unread)
        taken = no_place(state, self.inside, self.places)
        return own if taken is None else (*own, no_place_words(state, taken, self.places))

    def asks_of_oven(self, state: BakeState, task: OvenTask) -> str:
        """What is asked before something done at the oven is taken as done: bread is in it, or it is too soon."""
        words = heat_under_words(state, task, self.inside, self.now)
        return words or too_soon(state, task, state.now_s(self.now))

    def beside(self, bake: str | None, step: int) -> str | None:
        """The bake ``step`` rows down (or up, when negative); round the end."""
        order = [one.bake for one in self.views]
        if not order or bake not in order:
            return order[0] if order else None
        return order[(order.index(bake) + step) % len(order)]


def board(
    states: Sequence[BakeState], now: Stamp, places: int = 1, timers: Iterable[Timer] = (), *, people: int = 1
) -> Board:
    """Look at all live bakes and timers at one moment.

    ``places``: of the kitchen's oven as it is now; ``people``: its pairs of hands.
    """
    ordered = sorted(states, key=lambda state: (state.letter, state.id))
    queue = oven_queue(ordered, now, places)
    before = oven_before(queue, ordered, now)
    kept = oven_kept(ordered, queue, before, now)
    there = inside(ordered, now)
    own = [(state, _view(state, now, before.get(state.id), oven_kept=state.id in kept)) for state in ordered]
    free = once_free(own, now, queue)
    views = tuple(
        _in_turn(one, state, now, before.get(state.id), (*there, *before_it(queue, state.id)), places)
        for (state, _), one in zip(own, free, strict=True)
    )
    pairs = list(zip(ordered, views, strict=True))
    timed = [_timed(timer, now) for timer in timers]
    busy_with = hands_on(ordered, now)
    after = busy_with[0].letter if len(busy_with) >= people > 0 else ""
    coming = sorted(
        (*timed, *(_coming(state, prompt, now, after) for state, one in pairs for prompt in (*one.wants, *one.coming))),
        key=lambda c: c.order,
    )
    ringing = [one for one in timed if one.now]
    ringing += [_coming(state, prompt, now, after) for state, one in pairs for prompt in one.rings]
    waits = _waiting(coming)
    urgent = min(views, key=lambda one: _urgency(one, waits), default=None)
    shown = {view.bake: view for view in views}
    return Board(
        now=now,
        views=tuple(shown[state.id] for state in in_rows(states)),
        coming=tuple(coming),
        rings=tuple(sorted((one for one in ringing if not one.after), key=lambda c: (_can_wait(c, shown), *c.order))),
        oven=tuple(busy for state, one in pairs for busy in oven_use(state, one, now)),
        hands=tuple(busy for state, one in pairs for busy in hands_use(state, one, now)),
        urgent=None if urgent is None else urgent.bake,
        before=before,
        oven_kept=kept,
        inside=there,
        places=places,
        next_in=next_in(queue, ordered),
    )


def free_letter(taken: Iterable[str]) -> str | None:
    """The first letter that is not ``taken``, or None when the bench is full."""
    held = set(taken)
    return next((letter for letter in LETTERS if letter not in held), None)


def _coming(state: BakeState, prompt: Prompt, now: Stamp, after: str) -> Coming:
    """``after``: the letter of the dough that all hands are on, if they are."""
    at_us, now_s = wall_us(state, prompt.due_s, now), state.now_s(now)
    waits = bool(after) and rings(state, prompt) and waits_now(state, prompt, now_s)
    still = at_it(state, prompt, now_s)
    return Coming(at_us, state.letter, state.id, prompt, at_us <= now.wall_us, still, after if waits else "")


def _can_wait(ring: Coming, views: Mapping[str, BakeView]) -> int:
    """0 for what is in the oven, 1 for a machine that works a dough on until it is stopped, 2 for all that waits."""
    view = views.get(ring.bake)
    if view is None:
        return 2
    return 0 if view.kind == "bake" else 1 if _stops_machine(view, ring.prompt) else 2


def _stops_machine(one: BakeView, prompt: Prompt) -> bool:
    """Whether it calls to a machine that works on alone: no other hands stage asks for its end."""
    return prompt.kind == "due" and any(span.stage == prompt.stage and span.kind == "hands" for span in one.spans)


def _waits_for_oven(one: BakeView) -> bool:
    """Whether its stage is over and all it wants is its turn in the oven: ``load once A is out``."""
    asked = one.wants or (one.coming[:1] if one.mode == "over" else ())
    return bool(asked) and all(p.id.waits and p.reads is None and p.check is None for p in asked)


def _waiting(coming: Iterable[Coming]) -> frozenset[tuple[str, PromptId]]:
    """What is due, and waits for hands."""
    return frozenset((one.bake, one.prompt.id) for one in coming if one.after)


def _timed(timer: Timer, now: Stamp) -> Coming:
    at_us = timer.due_us(now)
    return Coming(at_us, LETTER, timer.id, timer.prompt, at_us <= now.wall_us)


def _view(state: BakeState, now: Stamp, before: OvenBefore | None, *, oven_kept: bool) -> BakeView:
    """The view, its moments told by the wall clock as it stands now, should somebody have set it."""
    one = view(state, state.now_s(now), before, oven_kept=oven_kept)
    by_us = wall_us(state, 0.0, now) - state.wall_us(0.0)

    def moved(us: int | None) -> int | None:
        return None if us is None else us + by_us

    return replace(one, until_us=moved(one.until_us), ready_us=one.ready_us + by_us, next_due_us=moved(one.next_due_us))


def _in_turn(
    one: BakeView, state: BakeState, now: Stamp, before: OvenBefore | None, there: Sequence[Inside], places: int
) -> BakeView:
    """The view with what it wants of the oven told as the oven has place and heat for it, and due no sooner.

    What is to be read first is due at its own time all the same. ``there``: what is in the oven, or goes in first.
    """
    now_s = state.now_s(now)
    begins_s = {span.stage: span.begin_s for span in one.spans if span.kind == "bake" and span.when == "coming"}

    def told(prompt: Prompt) -> Prompt:
        at_us = max(now.wall_us, wall_us(state, prompt.due_s, now))
        prompt = in_its_turn(state, prompt, at_us, there, places)
        if _only_waits(state, prompt):
            stage = prompt.stage if prompt.kind == "oven hot" else prompt.stage + 1
            prompt = replace(prompt, due_s=max(prompt.due_s, begins_s.get(stage, prompt.due_s)))
        prompt = since_free(state, at_its_heat(state, prompt, before, now_s), before, now_s)
        return _until(state, prompt, now)

    asked = [told(prompt) for prompt in (*one.wants, *one.coming)]
    wants = tuple(prompt for prompt in asked if prompt.due_s <= now_s)
    ringing = {prompt.id for prompt in one.rings}
    coming = tuple(sorted((p for p in asked if p.due_s > now_s), key=lambda p: (p.until_s is not None, p.due_s)))
    one = replace(one, coming=coming)
    first = wants[0].words if wants else _when_hot(state, one, now) or one.do
    next_us = next((wall_us(state, prompt.due_s, now) for prompt in (*wants, *coming)), one.next_due_us)
    return replace(
        one,
        wants=wants,
        rings=tuple(p for p in wants if replace(p.id, waits=False) in ringing and _rings(state, p)),
        next_due_us=next_us,
        do=first[:1].upper() + first[1:],
    )


def _only_waits(state: BakeState, prompt: Prompt) -> bool:
    """Whether a prompt to load waits for the oven, with nothing to be read before."""
    return prompt.id.waits and read_for(state, prompt) is None


def _rings(state: BakeState, prompt: Prompt) -> bool:
    """As `rings`; for a place in the oven nobody is called before there is one."""
    return not _only_waits(state, prompt) and rings(state, prompt)


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
    return hour(wall_us(state, at_s, now), now)


def _urgency(one: BakeView, waits: Collection[tuple[str, PromptId]]) -> tuple[int, float, str]:
    """What wants something now, in the oven first, then a machine to be stopped, then by how long it waits.

    Then hands at work; then what is next.
    What ``waits`` for hands comes after what they are on, and so does what nothing spoils for.
    """
    if one.mode == "closed":
        return 6, 0.0, one.letter
    due_us = float("inf") if one.next_due_us is None else float(one.next_due_us)
    wants = 0 if one.kind == "bake" else 1 if any(_stops_machine(one, prompt) for prompt in one.wants) else 2
    now = any((one.bake, prompt.id) not in waits and not prompt.patient for prompt in one.wants)
    return (wants if now else 3 if one.mode == "up" else 4 if one.wants else 5), due_us, one.letter
