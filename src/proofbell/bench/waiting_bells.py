"""Which bells wait while all hands are on other doughs, and for how long: no dough waits past what it forgives.

The oven, a core, loading, taking out, a final proof and a baker's own timers never wait. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.bake.advice.butter import goes_on_now_s
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.formula.dough_stages import STANDS, works_alone

MOST_S = 10 * 60.0
"""No bell waits for longer than this: common practice, no source."""

UNSAID_S = 5 * 60.0
"""A dough whose card says nothing of it forgives so much: common practice, no source."""

STAYS_S = 3 * 60.0
"""Hands that are so much over their time are taken to be elsewhere: common practice, no source."""


def hands_on(states: Iterable[BakeState], now: Stamp) -> tuple[BakeState, ...]:
    """The doughs that hands are on, those first that need them for the shortest time yet."""
    busy: list[tuple[float, str, BakeState]] = []
    for state in states:
        now_s = state.now_s(now)
        until = [_hands_until_s(state, index) for index in state.running if state.stage(index).kind == "hands"]
        if state.closed is None and until and max(until) > now_s:
            busy.append((max(until) - now_s, state.letter, state))
    return tuple(state for _, _, state in sorted(busy, key=lambda each: each[:2]))


def _hands_until_s(state: BakeState, index: int) -> float:
    """Until when hands are taken to be on a hands stage that runs (the bake's own time, s); a machine works alone."""
    stage, run = state.stage(index), state.stages[index]
    needs_s = run.length_s + STAYS_S if stage.hands_s is None or not works_alone(stage) else stage.hands_s
    return (run.begun_s or 0.0) + needs_s


def waits_s(state: BakeState, prompt: Prompt, now_s: float) -> float:
    """How long (s) the bell of a prompt may wait for hands; 0 for one that always rings at its time.

    What may wait: a planned start or weigh-out, and the end of a rest, a chill or a proof that hands or time follow,
    for as long as its dough forgives. What its baker has judged, or butter makes urgent, does not.
    """
    if prompt.kind == "start":
        return MOST_S
    stage, follower = state.stage(prompt.stage), state.formula.followed_by(prompt.stage)
    if not prompt.over or stage.kind not in STANDS or follower is None or state.stage(follower).kind == "bake":
        return 0.0
    judged = bool(state.readings_in(prompt.stage, "rise"))
    if judged or goes_on_now_s(state, prompt.stage, now_s) is not None:
        return 0.0
    stretch, begun_s = forgives(state, prompt.stage).stretch, state.stages[prompt.stage].begun_s or 0.0
    slack_s = UNSAID_S if stretch is None else begun_s + stretch[1] - prompt.due_s
    return min(MOST_S, max(0.0, slack_s))


def waits_now(state: BakeState, prompt: Prompt, now_s: float) -> bool:
    """Whether a prompt that is due may wait yet, where no hands are free for it."""
    return 0 <= now_s - prompt.due_s < waits_s(state, prompt, now_s)
