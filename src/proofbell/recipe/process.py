"""The steps of the dough as stages: what belongs together, and how long it takes where nobody says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.formula.model import StageKind
from proofbell.recipe.before_the_dough import mixed_first, raised_later, soaking, sprinkled_in, waking
from proofbell.recipe.model import BakePhase, Role, StageDraft, Step
from proofbell.recipe.naming import (
    GUESS_MIN,
    HOUR_S,
    MINUTE_S,
    Making,
    completed,
    cooling_min,
    is_shaping,
    named,
    proofs,
)
from proofbell.recipe.reading.steps import middle

DAY_S: Final = 86400.0
_LONGEST_LOADING: Final = 480

_SALT = re.compile(r"(?i)\b(?:salt|butter|fruit|seeds?|nuts|raisins|levain|leaven|starter|poolish|biga|sponge)\b")
_INTO_TIN = re.compile(r"(?i)\b(?:pan|tin|tray|basket|banneton)s?\b")
_COLD = re.compile(r"(?i)\b(?:fridge|refrigerator|cold)\b")
_HALFWAY = re.compile(r"(?i)\bhalf ?way\b|\bat half time\b")
_STRANDS = re.compile(r"(?i)\b(?:plait|braid|rope|strand|knot)")
_MOULD = re.compile(r"(?i)\bmou?ld\b")
_KNOCK = re.compile(r"(?i)\b(?:knock|punch|deflate|degas)")
_KNOCK_ONLY = re.compile(r"(?i)\b(?:divide|shape|roll|form|mou?ld|halve|ball|round)")


def stages_of(steps: Sequence[Step], making: Making) -> list[StageDraft]:
    dough = _finished_before_waiting(sprinkled_in([step for step in steps if step.act != "oven"]))
    told = _timed_by_clock(raised_later(waking(soaking(mixed_first(_out_of_the_cold(dough))))))
    drafts = named(proofs(_grouped(told, making)))
    return completed(drafts, making)


def _finished_before_waiting(steps: list[Step]) -> list[Step]:
    """What is brushed or scattered just before a dough is left to itself is told there, and not as it is baked."""
    found: list[Step] = []
    waiting: list[Step] = []
    for step in steps:
        if step.act == "finish":
            waiting.append(step)
            continue
        if waiting and step.act in ("proof", "rest", "chill") and found:
            found.append(replace(step, text=". ".join(each.text.rstrip(".") for each in (*waiting, step))))
        else:
            found += [*waiting, step]
        waiting = []
    return [*found, *waiting]


def _out_of_the_cold(steps: list[Step]) -> list[Step]:
    """Taking a dough out of the fridge is no stage by itself: its words go with what comes next."""
    found: list[Step] = []
    words = ""
    for step in steps:
        if step.act == "rest" and step.seconds is None and _COLD.search(step.text):
            words = f"{step.text}. "
            continue
        found.append(replace(step, text=words + step.text) if words else step)
        words = ""
    return found


def _timed_by_clock(steps: list[Step]) -> list[Step]:
    """Steps that end when the next hour on the clock comes: "8-12", "9 pm … 7 am"."""
    timed: list[Step] = []
    for index, step in enumerate(steps):
        later = next((each for each in steps[index + 1 :] if each.clock_s is not None), None)
        alone = all(each.act in ("fold", "finish") for each in steps[index + 1 : steps.index(later) if later else None])
        if (
            step.seconds is None
            and step.clock_s is not None
            and later is not None
            and alone
            and step.act in ("proof", "rest", "chill")
        ):
            timed.append(replace(step, seconds=(between_s(step.clock_s, later.clock_s or 0.0), None)))
        else:
            timed.append(step)
    return timed


def between_s(first_s: float, second_s: float) -> float:
    """Seconds from one hour of the day to the next; without am and pm the shorter way round a twelve-hour clock."""
    said = first_s % 1 > 0 and second_s % 1 > 0
    first, second = int(first_s), int(second_s)
    round_s = DAY_S if said else DAY_S / 2
    return (second - first) % round_s or round_s


def _grouped(steps: Sequence[Step], making: Making) -> list[StageDraft]:
    drafts: list[StageDraft] = []
    group: list[Step] = []
    shaped_before = False
    for index, step in enumerate(steps):
        if step.act == "finish":
            _finish(step, drafts, steps[index + 1 :])
            continue
        sort = _SORTS.get(step.act, step.act)
        if group and _SORTS.get(group[-1].act, group[-1].act) != sort:
            drafts = _with_hands(drafts, _hands(group, drafts, making, rested=shaped_before, later=steps[index:]))
            shaped_before = shaped_before or _SORTS.get(group[-1].act) == "shape"
            group = []
        if sort == "mix" and step.seconds is None and not group and drafts and drafts[-1].role == "knead":
            drafts[-1] = replace(drafts[-1], text=f"{drafts[-1].text.rstrip('.')}. {step.text}")
        elif sort in ("mix", "knead", "shape"):
            group.append(step)
        elif step.act == "fold" and drafts and is_shaping(drafts[-1]) and step.seconds is None:
            drafts[-1] = replace(drafts[-1], text=f"{drafts[-1].text.rstrip('.')}. {step.text}")
        elif step.act == "fold":
            drafts = _folded(step, drafts)
        else:
            drafts.append(_standing(step, making, [each.text for each in steps[:index] if each.act == "finish"]))
    if group:
        drafts = _with_hands(drafts, _hands(group, drafts, making, rested=shaped_before, later=[]))
    return drafts


def _with_hands(drafts: list[StageDraft], new: StageDraft) -> list[StageDraft]:
    """Two shapings one after the other, with a fold of the sheet between them, are one."""
    last = drafts[-1] if drafts else None
    if last is None or not (is_shaping(last) and is_shaping(new)):
        return [*drafts, new]
    timed = [each for each in (last, new) if not each.guess]
    longer = max((last, new), key=lambda each: each.seconds)
    seconds = sum(each.seconds for each in timed) if timed else longer.seconds
    told = new if new.role == "divide" else last
    guess, text = "" if timed else new.guess, f"{last.text.rstrip('.')}. {new.text}"
    both = replace(longer, name=told.name, role=told.role, seconds=seconds, guess=guess, text=text, line=last.line)
    return [*drafts[:-1], both]


_SORTS: Final[dict[str, str]] = {"mix": "mix", "knead": "knead", "divide": "shape", "shape": "shape"}


def _finish(step: Step, drafts: list[StageDraft], later: Sequence[Step]) -> None:
    """What is put on the piece is told as it is loaded; after the bake, in the words of the bake."""
    baked = next((i for i, draft in enumerate(drafts) if draft.kind == "bake"), None)
    if baked is not None and not any(each.act == "bake" for each in later):
        drafts[baked] = replace(drafts[baked], text=f"{drafts[baked].text.rstrip('.')}. {step.text}")


def _hands(
    group: Sequence[Step], before: Sequence[StageDraft], making: Making, *, rested: bool, later: Sequence[Step]
) -> StageDraft:
    sort = _SORTS[group[-1].act]
    role: Role
    text = ". ".join(step.text.rstrip(".") for step in group)
    if sort == "shape":
        name, minutes, role = _shaping(group, text, making, rested=rested, later=later)
    elif sort == "knead":
        name, minutes, role = "Knead", GUESS_MIN["knead"], "knead"
    elif any(draft.kind != "hands" for draft in before) and any(draft.role == "mix" for draft in before):
        found = _SALT.search(text)
        into_tin = found is None and _INTO_TIN.search(text) is not None
        again = "Into the tin" if into_tin else "Mix again"
        name, minutes = (f"Add {found[0].lower()}" if found else again), GUESS_MIN["add"]
        role = "shape" if into_tin else ""
    else:
        name, minutes, role = "Mix", GUESS_MIN["mix"], "mix"
    known = [step.seconds for step in group if step.seconds is not None]
    line = group[0].line
    if not known:
        return StageDraft(name, "hands", minutes * MINUTE_S, None, text, "no time written", line, role=role)
    seconds = sum(middle(each) for each in known)
    stretch = known[0] if len(known) == 1 and known[0][1] is not None else None
    return StageDraft(name, "hands", seconds, _pair(stretch), text, "", line, role=role)


def _shaping(
    group: Sequence[Step], text: str, making: Making, *, rested: bool, later: Sequence[Step]
) -> tuple[str, int, Role]:
    acts = {step.act for step in group}
    pieces = making.pieces or 1
    if _KNOCK.search(text) and not _KNOCK_ONLY.search(text):
        return "Knock back", GUESS_MIN["knock"], ""
    minutes = 5 if pieces == 1 else 10 if pieces < 6 else 15
    if _STRANDS.search(text):
        shape, minutes = "braid", 20
    else:
        shape = "mould" if _MOULD.search(text) else "shape"
    if "divide" in acts:
        again = next((step.act for step in later if step.act not in ("finish", "oven")), None)
        shapes_later = any(step.act == "shape" for step in later)
        if again in ("rest", "proof") and shapes_later and "shape it" not in text.lower():
            return "Divide and round", GUESS_MIN["round"], "divide"
        return f"Divide and {shape}", minutes, "divide"
    return shape.capitalize() if rested or shape != "braid" else "Braid", minutes, "shape"


def _folded(step: Step, drafts: list[StageDraft]) -> list[StageDraft]:
    """A fold at a time splits the proof it is in; folds "in the first two hours" stay in its words."""
    last = drafts[-1] if drafts else None
    if last is None or last.kind not in ("proof", "rest"):
        return [*drafts, _fold(step)]
    if last.kind == "rest" and step.times > 1:
        rounds = [each for _ in range(step.times) for each in (last, _fold(step))]
        return [*drafts[:-1], *rounds]
    after = step.after_s or (last.seconds / 2 if _HALFWAY.search(step.text) else None)
    if after is not None and step.times == 1 and 0 < after < last.seconds:
        return [
            *drafts[:-1], replace(last, seconds=after, stretch=None, rise_percent=None), _fold(step),
            replace(last, role="second half", seconds=last.seconds - after, stretch=None, text=""),
        ]  # fmt: skip
    if last.kind == "rest":
        return [*drafts, _fold(step)]
    return [*drafts[:-1], replace(last, text=f"{last.text.rstrip('.')}. {step.text}")]


def _fold(step: Step) -> StageDraft:
    seconds, guess = (middle(step.seconds), "") if step.seconds else (GUESS_MIN["fold"] * MINUTE_S, "no time written")
    return StageDraft("Fold", "hands", seconds, None, step.text, guess, step.line)


def _standing(step: Step, making: Making, finished: Sequence[str]) -> StageDraft:
    """A proof, rest, chill, bake, cool, or the yeast that wakes."""
    if step.act == "wake":
        seconds = middle(step.seconds) if step.seconds else GUESS_MIN["wake"] * MINUTE_S
        return StageDraft("Wake the yeast", "hands", seconds, _pair(step.seconds), step.text,
                          "" if step.seconds else "no time written", step.line, role="wake")  # fmt: skip
    if step.act == "soak":
        return StageDraft("Soak", "rest", middle(step.seconds) if step.seconds else 0.0, _pair(step.seconds), step.text,
                          step.guess, step.line, role="soak")  # fmt: skip
    if step.act == "bake":
        return _bake(step, making, finished)
    if step.act == "cool":
        minutes = cooling_min(making)
        seconds, guess = (middle(step.seconds), "") if step.seconds else (minutes * MINUTE_S, "no time written")
        return StageDraft("Cool", "cool", seconds, _pair(step.seconds), step.text, guess, step.line)
    kind: StageKind = "rest" if step.act == "rest" else "chill" if step.act == "chill" else "proof"
    seconds = middle(step.seconds) if step.seconds else 0.0
    stretch = _pair(step.seconds)
    if step.guess and stretch is None:
        stretch = (8 * HOUR_S, 16 * HOUR_S)
    return StageDraft("", kind, seconds, stretch, step.text, step.guess, step.line, place_c=step.place_c,
                      rise_percent=step.rise_percent if kind == "proof" else None)  # fmt: skip


def _bake(step: Step, making: Making, finished: Sequence[str]) -> StageDraft:
    oven_c = making.oven_c
    phases: list[BakePhase] = []
    for phase in step.phases:
        oven_c = phase.oven_c if phase.oven_c is not None else oven_c
        phases.append(replace(phase, oven_c=oven_c))
    loading = ". ".join(words.rstrip(".") for words in finished)
    text = step.text
    if len(loading) > _LONGEST_LOADING:
        loading, text = "", f"{loading}. {text}"
    usual = 18 if (making.pieces or 1) >= 6 else 35
    seconds = middle(step.seconds) if step.seconds else usual * MINUTE_S
    guess = "" if step.seconds else "no time written"
    several = tuple(each for each in phases if each.seconds is not None) if len(phases) > 1 else ()
    one = several or tuple(phases[:1])
    return StageDraft("Bake", "bake", seconds, _pair(step.seconds) if not several else None, text, guess, step.line,
                      core_c=step.core_c, phases=one, loading=loading)  # fmt: skip


def _pair(seconds: tuple[float, float | None] | None) -> tuple[float, float] | None:
    return None if seconds is None or seconds[1] is None else (seconds[0], seconds[1])
