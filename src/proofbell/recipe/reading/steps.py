"""The method: each sentence cut into what is done, with its length, heat and sign."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Act, Step
from proofbell.recipe.reading.acts import PATTERNS
from proofbell.recipe.reading.baking import core_in, phases_in
from proofbell.recipe.reading.lengths import OVERNIGHT_S, heats_in, lengths_in, temperature_in
from proofbell.recipe.reading.numbers import DIGITS, WORD_NUMBER, number, plain

_AT_ROOM = re.compile(r"(?i)\broom temp\w*|\bon the counter\b|\bin (?:the|a) warm\b")
_STANDING = re.compile(r"(?i)\b(?:stand|leave|set aside|wait|sit)\b")
_SENTENCE = re.compile(
    r"(?<!\bmin)(?<!\bmins)(?<!\bhrs)(?<!\bhr)(?<!\bapprox)(?<!\bca)(?<!\boz)[.!](?=\s|$)"
    r"|(?<=\bmin)\.(?=\s+[A-Z])|(?<=\bmins)\.(?=\s+[A-Z])|(?<=\bhr)\.(?=\s+[A-Z])|(?<=\bhrs)\.(?=\s+[A-Z])|;|(?<=[a-z]):\s(?!\d)"
)
_CUT = re.compile(
    r"(?i)\s+with (?=(?:a|one|two|three|four|\d) (?:sets? of )?folds?\b)|\s*,?\s*\b(?:and then|then"
    r"|before(?! (?:you )?bak(?:e|ing)\b(?! (?:at|for|in|on)\b))|after which)\b\s+"
    r"|\s*,\s*(?:and\s+)?|\s+and\s+(?!a half|a quarter|\d)"
)
_BELONGS = re.compile(
    r"(?i)^(?:(?:or )?until|till|for\b|about|around|or\b|at\b|with\b|by\b|in\b|to\b|on\b|covered|when|ready)"
)
_UNTIL = re.compile(r"(?i)\b(?:until|till)\s+(?P<sign>[^,.;]+)")
_DOUBLED = re.compile(r"(?i)\b(?:doubl\w*|twice (?:its|the|as)|in bulk)\b")
_NEARLY = re.compile(r"(?i)\b(?:nearly|almost|not quite) doubl")
_BAKES: Final = re.compile(r"(?i)\b(?:bak|lid|steam|cook|uncover|into the oven)")
_HALF_AGAIN = re.compile(r"(?i)\b(?:half as (?:big|large) again|by half|grown by 50)\b")
_NO_LENGTH = re.compile(r"(?i)\b(?:every|each|at|in the (?:first|last)|apart|intervals|before|after|old)\b")
_AGAIN = re.compile(
    rf"(?i)\brepeat(?:ed)?\s+(?:this\s+)?(?P<more>once|twice|(?:{DIGITS}|{WORD_NUMBER})(?: times)?)(?: more)?"
)
_TIMES: Final = {"once": 1, "twice": 2}


def read_steps(
    text: str, line: int, *, clock_s: float | None = None, section: str = ""
) -> tuple[list[Step], list[str]]:
    """The steps in a paragraph of the method, and the sentences that hold none."""
    steps: list[Step] = []
    unread: list[str] = []
    for sentence in sentences(plain(text)):
        found = _sentence(sentence, line, section)
        if not found:
            again = _AGAIN.search(sentence)
            if steps and again:
                steps[-1] = replace(steps[-1], times=1 + _many(again["more"]), text=f"{steps[-1].text}; {sentence}")
            elif steps:
                steps[-1] = replace(
                    steps[-1], text=f"{steps[-1].text}. {sentence}", core_c=steps[-1].core_c or core_in(sentence)
                )
            else:
                unread.append(sentence)
        else:
            steps += found
    if steps and clock_s is not None:
        steps[0] = replace(steps[0], clock_s=clock_s)
    return _joined(steps), unread


def sentences(text: str) -> list[str]:
    """The sentences of a paragraph, cut at full stops and semicolons but not inside "1.5" or "10 min. or"."""
    return [_unwrapped(part) for part in _SENTENCE.split(text) if part and part.strip(" ,()-")]


def _unwrapped(part: str) -> str:
    """Without the brackets that a whole sentence stands in."""
    bare = part.strip(" ,-")
    return bare.strip("()") if bare.startswith("(") or bare.count("(") != bare.count(")") else bare


def _sentence(sentence: str, line: int, section: str) -> list[Step]:
    """Clauses with an act of their own; the others go with the clause before, or before all with the first."""
    groups: list[tuple[Act, str]] = []
    waiting = ""
    at = 0
    cuts = [(match.start(), match.end()) for match in _CUT.finditer(sentence)]
    for begin, end in [*cuts, (len(sentence), len(sentence))]:
        clause = sentence[at:begin].strip()
        gap = sentence[begin:end]
        act = None if not clause or (groups and _BELONGS.match(clause)) else _act(clause)
        if act == "bake" and groups and groups[-1][0] == "oven" and not _BAKES.search(clause):
            act = None  # "Heat the oven and the pot 40 min at 240C" bakes nothing.
        if act is None and clause and not groups:
            waiting += clause + (gap if gap.strip() else " ")
        elif act is None or (groups and act == groups[-1][0] and act in ("bake", "proof", "oven", "rest")):
            if groups:
                before, said = groups[-1]
                groups[-1] = (before, said + sentence[at - _gap(sentence, at) : begin])
        else:
            groups.append((act, waiting + clause))
            waiting = ""
        at = end
    if (
        not groups
        and waiting
        and (section or re.search(r"\bovernight\b", waiting))
        and (lengths_in(waiting) or "overnight" in waiting)
    ):
        groups.append(("proof", sentence))
    return [_step(act, said.strip(" ,"), line, section) for act, said in groups]


def _gap(sentence: str, at: int) -> int:
    """How many characters of a cut stand before ``at``."""
    for match in _CUT.finditer(sentence):
        if match.end() == at:
            return match.end() - match.start()
    return 0


def _act(clause: str) -> Act | None:
    found = next((act for act, words in PATTERNS if words.search(clause)), None)
    if found in ("chill", "finish") and re.search(r"(?i)\bbake\b", clause):
        return "bake"
    if (
        found == "shape"
        and re.search(r"\brounds?\b|\bform\b", clause)
        and _STANDING.search(clause)
        and lengths_in(clause)
    ):
        return "proof"
    if found is None and lengths_in(clause) and _AT_ROOM.search(clause):
        return "proof"
    if found is None and _is_bake(clause):
        return "bake"
    return found


def _is_bake(clause: str) -> bool:
    return bool(heats_in(clause)) and bool(lengths_in(clause))


def _step(act: Act, said: str, line: int, section: str) -> Step:
    sign = _UNTIL.search(said)
    until = sign["sign"].strip() if sign else ""
    if re.search(r"(?i)sounds? hollow|hollow when", said):
        until = "sounds hollow"
    again = _AGAIN.search(said)
    step = Step(
        line=line,
        act=act,
        text=said[:1].upper() + said[1:],
        until=until,
        section=section,
        times=1 + _many(again["more"]) if again else 1,
    )
    if act == "bake":
        phases = phases_in(said)
        known = [phase.seconds for phase in phases if phase.seconds is not None]
        seconds = known[0] if len(known) == 1 else (sum(middle(each) for each in known), None) if known else None
        return replace(step, phases=phases, seconds=seconds, core_c=core_in(said))
    step = replace(step, seconds=_length(act, said), core_c=core_in(said) if act == "cool" else None)
    if act == "fold":
        after = re.search(r"(?i)\b(?:after|at)\b(.*)", said)
        spans = lengths_in(after[1]) if after else []
        return replace(step, after_s=spans[0][0][0] if spans else None)
    if act in ("proof", "rest", "chill", "soak"):
        rise = (
            80.0
            if _NEARLY.search(said)
            else 100.0
            if _DOUBLED.search(said)
            else 50.0
            if _HALF_AGAIN.search(said)
            else None
        )
        step = replace(step, rise_percent=rise, until="rise 100 %" if rise == 100 else until, place_c=_place(act, said))
        if step.seconds is None and re.search(r"(?i)\bovernight\b|\bthe night\b", said):
            usual, low, high = OVERNIGHT_S
            step = replace(
                step,
                seconds=(usual, None),
                guess=f"overnight: {usual / 3600:.0f} h, {low / 3600:.0f} to {high / 3600:.0f}",
            )
    return step


def _place(act: Act, said: str) -> float | None:
    found = temperature_in(said)
    if found is not None and -2 <= found <= 45:
        return found
    return 4.0 if act == "chill" else None


def _length(act: Act, said: str) -> tuple[float, float | None] | None:
    """The length that belongs to the act: the first, unless it says when or how often."""
    for seconds, begin, _ in lengths_in(said):
        before = said[:begin]
        tail = re.search(r"(?:^|[,;(])[^,;(]*$", before)
        words = tail[0] if tail else before
        if _NO_LENGTH.search(words) and act in ("fold", "knead", "mix"):
            continue
        later = [each for each, first, _ in lengths_in(said) if first > begin]
        if act in ("mix", "knead") and len(later) == 1 and re.search(r"\bthen\b", said[begin:]):
            return middle(seconds) + middle(later[0]), None
        return seconds
    return None


def _many(said: str) -> int:
    first = said.split(maxsplit=1)[0].lower()
    return _TIMES.get(first) or round(number(first))


def middle(seconds: tuple[float, float | None]) -> float:
    """The middle of a length or of its range."""
    return seconds[0] if seconds[1] is None else (seconds[0] + seconds[1]) / 2


def _joined(steps: list[Step]) -> list[Step]:
    """Bakes that follow one another ("then turn down and bake") are one, its phases one after another."""
    joined: list[Step] = []
    for step in steps:
        last = joined[-1] if joined else None
        if last is not None and last.act == step.act == "bake":
            phases = (*last.phases, *step.phases)
            known = [phase.seconds for phase in phases if phase.seconds is not None]
            seconds = (sum(middle(each) for each in known), None) if len(known) > 1 else known[0] if known else None
            joined[-1] = replace(
                last,
                phases=phases,
                seconds=seconds,
                text=f"{last.text}. {step.text}",
                core_c=last.core_c or step.core_c,
                until=last.until or step.until,
            )
        else:
            joined.append(step)
    return joined
