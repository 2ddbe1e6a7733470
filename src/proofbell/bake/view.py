"""One bake at one moment, in the words and numbers that a screen shows. No screen decides what is said here."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from proofbell.bake.advice.advise import advise
from proofbell.bake.advice.butter import chill_now, chilled, goes_on_now_s
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.situation import Advice
from proofbell.bake.asking.oven import given_up_inside
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.asking.put_in import added_now, goes_in_words, to_put_in
from proofbell.bake.asking.stage_end import after, before_its_oven, doing
from proofbell.bake.asking.stage_text import loading_text, put_away, stage_text
from proofbell.bake.decisions.holding import why_so_long
from proofbell.bake.fermenting.as_it_warms import judged_ready_s
from proofbell.bake.fermenting.cold_words import said_of_the_cold
from proofbell.bake.fermenting.place import retard_c
from proofbell.bake.fermenting.short_rise import short_at_the_end
from proofbell.bake.outlook import Span, begins_s, next_to_begin, outlook, planned
from proofbell.bake.probe.live import probe_words
from proofbell.bake.prompts import prompts, rings
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.ways_words import batch_words
from proofbell.dough.allergens import contained, named_alone, with_unknown
from proofbell.frozen import dataclass
from proofbell.words import length, sentence, told_length

Mode = Literal["waiting", "left", "over", "up", "closed"]


@dataclass(frozen=True, slots=True)
class BakeView:
    """What can be said of a bake now.

    ``mode``: waiting for its start, time left, over its time, counting up (hands), or closed. ``seconds`` is the
    number that goes with it, ``length_s`` the whole length that the stage is meant to have. ``until_us`` is the UTC
    moment (µs) at which the stage is due. ``do`` says what to do now, ``then`` what comes next, ``why`` what
    gave the stage its length, or how far a dough in the cold will be. ``wants`` are the prompts due and unanswered,
    ``rings`` those not silenced, ``coming`` the ones ahead; ``next_due_us`` says when the first is due. ``advice`` is
    the most urgent that one who knows the trade would say and nothing else says already; ``also`` is what is told
    calmly beside it, about food safety. ``loading``: ``text`` is what is to be done now, as its oven is on.
    ``outside`` is what another size (``adding``) wants added to the bowl, and what goes onto pieces and tins in this
    stage, or before the next; ``goes_in`` what goes into the dough in this one, and how warm the liquid. ``probe``: the
    newest of a probe that talks, and when a core gets where it is wanted. ``allergens``: of a finished bake, which is
    handed out, what must be named of it. ``cold`` follows the stage's name where the plan has it in the cold.
    ``chill_now``: what is to be done first is to put it into the cold for its butter.
    """

    bake: str
    letter: str
    title: str
    size: str
    stage: str
    kind: str
    place: str
    mode: Mode
    seconds: float
    until_us: int | None
    do: str
    text: str
    then: str
    why: str
    wants: tuple[Prompt, ...]
    rings: tuple[Prompt, ...]
    coming: tuple[Prompt, ...]
    spans: tuple[Span, ...]
    ready_us: int
    next_due_us: int | None
    length_s: float = 0.0
    advice: Advice | None = None
    also: Advice | None = None
    loading: bool = False
    adding: bool = False
    outside: str = ""
    cold: str = ""
    goes_in: str = ""
    probe: str = ""
    allergens: str = ""
    chill_now: bool = False

    @property
    def waits_for_baker(self) -> bool:
        """Whether a stage is over and nothing goes on until somebody says so."""
        over = self.mode == "up" and 0 < self.length_s <= self.seconds
        return over or any(prompt.over and not prompt.patient for prompt in self.wants)

    @property
    def besides(self) -> str:
        """What else is due beside what ``do`` says: ``Oven on, 190 °C``."""
        words = "; ".join(prompt.words for prompt in self.wants[1:])
        return words[:1].upper() + words[1:]


def view(state: BakeState, now_s: float, before: OvenBefore | None = None, *, oven_kept: bool = False) -> BakeView:
    """Say where a bake stands at ``now_s`` of its own time.

    ``before``: another bake has the oven first. ``oven_kept``: another has or wants it afterwards.
    """
    # The stage in which a bake was given up does not run: nothing of it is to be done.
    index = state.current if state.closed is None else None
    asked = prompts(state, before, oven_kept=oven_kept, now_s=now_s)
    spans = outlook(state, now_s, lit=before is not None)
    wanted = tuple(prompt for prompt in asked if prompt.due_s <= now_s)
    if state.in_hand is not None and index == state.in_hand:
        # What a key would do stands first: it goes to the preferment in hand.
        wanted = tuple(sorted(wanted, key=lambda prompt: prompt.id.stage != index))
    ahead = tuple(prompt for prompt in asked if prompt.due_s > now_s)
    mode, seconds, until_s = _clock(state, index, now_s)
    said, also = _untold(advise(state, now_s, before, oven_kept=oven_kept), wanted)
    away = put_away(state, index, now_s)
    held = index is not None and before_its_oven(state, index)
    text = _over(state) if index is None else stage_text(state, index, now_s)
    loading = index is not None and bool(loading_text(state, index, now_s))
    if loading and said is not None and said.loads:
        text, loading = "", False
    goes_on = index is not None and goes_on_now_s(state, index, now_s) is not None
    return BakeView(
        bake=state.id,
        letter=state.letter,
        title=state.formula.name,
        size=batch_words(state.batch),
        stage=_stage_name(state, index),
        kind="" if index is None else state.stage(index).kind,
        place="" if index is None else f"{index + 1} of {len(state.stages)}",
        mode=mode,
        seconds=seconds,
        until_us=None if until_s is None else state.wall_us(until_s),
        do=_do(state, index, wanted, mode) or away,
        text="" if goes_on else text,
        then=_then(state, index, mode, now_s),
        why="" if index is None or goes_on else _why(state, index, said, now_s),
        wants=wanted,
        rings=tuple(prompt for prompt in wanted if rings(state, prompt)),
        coming=ahead,
        spans=spans,
        ready_us=state.wall_us(spans[-1].end_s if spans else now_s),
        next_due_us=_next_due_us(state, wanted, ahead, until_s),
        length_s=0.0 if index is None else state.stages[index].length_s,
        advice=said,
        also=also,
        loading=loading and not (before is None and held),
        adding=state.closed is None and bool(added_now(state, index)),
        outside="" if state.closed is not None else to_put_in(state, index) or (sentence(away) if wanted else ""),
        cold="" if index is None or retard_c(state, index) is None else ", in the cold",
        goes_in="" if index is None else goes_in_words(state, index),
        probe=probe_words(state, now_s),
        allergens=_allergens(state),
        chill_now=index is not None and chill_now(state, index, now_s),
    )


def _untold(said: tuple[Advice, ...], wanted: tuple[Prompt, ...]) -> tuple[Advice | None, Advice | None]:
    """The most urgent advice that no prompt gives already, and beside it whether the dough may be eaten."""
    asked = any(prompt.kind in ("due", "oven off") and prompt.until_s is None for prompt in wanted)
    untold = [each for each in said if "by the length" not in each.row.told]
    untold = [each for each in untold if not (asked and "by the prompt" in each.row.told)]
    beside = next((each for each in untold if each.row.beside), None)
    first = next((each for each in untold if not each.row.beside), None)
    if beside is None or first is None:
        return first or beside, None
    if first.act and beside.forbids and not first.looks:
        leave = "where your local rules allow it, "
        brief = first.in_brief and f"{leave}{first.in_brief}"
        first = replace(first, do=f"{leave}{first.do}", in_brief=brief)
    return first, beside


def in_pieces(state: BakeState) -> tuple[int, float] | None:
    """How many pieces the batch makes, and the weight of one (g); None where it is one dough."""
    batch = state.batch
    return (batch.pieces, batch.piece_g) if batch.pieces and batch.piece_g else None


def _clock(state: BakeState, index: int | None, now_s: float) -> tuple[Mode, float, float | None]:
    if state.closed is not None:
        return "closed", 0.0, None
    if index is None:
        start_s = state.start_s if (waits := _to_begin(state)) is None else begins_s(state, waits)
        wait_s = 0.0 if start_s is None else start_s - now_s
        return ("over" if start_s is not None and wait_s < 0 else "waiting"), abs(wait_s), start_s
    run = state.stages[index]
    begun_s = run.begun_s or 0.0
    if state.stage(index).kind == "hands":
        return "up", max(0.0, now_s - begun_s), begun_s + run.length_s
    soft_s = goes_on_now_s(state, index, now_s)
    due_s = begun_s + (run.length_s if soft_s is None else min(run.length_s, soft_s))
    left_s = due_s - now_s
    return ("left", left_s, due_s) if left_s > 0 else ("over", -left_s, due_s)


def _stage_name(state: BakeState, index: int | None) -> str:
    if state.closed is not None:
        return state.closed.outcome.capitalize()
    index = _to_begin(state) if index is None else index
    return "Weigh out" if index is None else state.stage(index).name


def _to_begin(state: BakeState) -> int | None:
    """The preferment's first stage that a bake which has begun waits for, while nothing of it runs."""
    return next_to_begin(state) if state.begun and state.closed is None else None


def _do(state: BakeState, index: int | None, wanted: tuple[Prompt, ...], mode: Mode) -> str:
    if wanted:
        first = wanted[0].words
        return first[:1].upper() + first[1:]
    if mode == "waiting":
        return "Weigh out, then begin" if not state.begun else "Wait, then begin"
    if mode == "up" and index is not None:
        words = doing(state, index)
        return words[:1].upper() + words[1:]
    return ""


def _over(state: BakeState) -> str:
    """How a bake ended; nothing for one that goes on."""
    if state.closed is None:
        return ""
    return _made_in(state) if state.closed.outcome == "finished" else _given_up(state)


def _allergens(state: BakeState) -> str:
    """``wheat, egg, milk; not known: jam`` of a finished bake, for who hands it out; nothing where none is named."""
    if state.closed is None or state.closed.outcome != "finished":
        return ""
    return with_unknown(named_alone(contained(state.formula), state.kitchen.region), state.formula, none="")


def _made_in(state: BakeState) -> str:
    """How long a finished bake took, beside the formula's own times."""
    begun_s, ended_s = state.begun_s, state.stages[-1].ended_s
    if begun_s is None or ended_s is None:
        return ""
    spans = planned(state)
    nominal_s = spans[-1].end_s - min(span.begin_s for span in spans)
    return f"Made in {told_length(ended_s - begun_s)}; by the formula's own times {length(nominal_s)}."


def _given_up(state: BakeState) -> str:
    """Where a bake was left off, and why: as it was said then, or else in the newest note from that stage on."""
    index, closed = state.current, state.closed
    if closed is None:
        return ""
    where = "Before it began"
    if index is not None:
        run_s = closed.at_s - (state.stages[index].begun_s or 0.0)
        where = f"In {state.stage(index).name}, {told_length(run_s)} after it began"
    since = [note.text for note in state.notes if note.stage == index or note.at_s >= closed.at_s]
    why = (closed.why or (since[-1] if since else "")).strip().rstrip(".")
    hot = "" if given_up_inside(state) is None else " Take it out: bread, tray and oven are hot, use dry cloths."
    return f"{where}: {why}.{hot}" if why else f"{where}.{hot}"


def _then(state: BakeState, index: int | None, mode: Mode, now_s: float) -> str:
    if mode == "closed":
        return ""
    if index is None:
        return doing(state, next_to_begin(state) or 0)
    return after(state, index, now_s=now_s)


def _why(state: BakeState, index: int, said: Advice | None, now_s: float) -> str:
    instead = said is not None and "by the reason" in said.row.told
    for_a_while = chilled(Scene(state, index, now_s)) is not None
    ready = for_a_while and (judged_ready_s(state, index) or math.inf) < math.inf
    if cold := said_of_the_cold(state, index, now_s, for_a_while=for_a_while, ready=ready):
        return "" if instead else cold
    asked = short_at_the_end(state, index) is not None
    return "" if instead and not _by_warmth(state, index) else why_so_long(state, index, asked=asked)


def _by_warmth(state: BakeState, index: int) -> bool:
    """Whether the stage's length was given last by a temperature, which no advice tells in its place."""
    adjustments = state.stages[index].adjustments
    return bool(adjustments) and adjustments[-1].body.by in ("bands", "rate")


def _next_due_us(
    state: BakeState, wanted: tuple[Prompt, ...], ahead: tuple[Prompt, ...], until_s: float | None
) -> int | None:
    """The UTC moment (µs) at which the bake next wants something, or wanted it; None when it wants nothing."""
    if wanted or ahead:
        return state.wall_us((*wanted, *ahead)[0].due_s)
    return None if until_s is None else state.wall_us(until_s)
