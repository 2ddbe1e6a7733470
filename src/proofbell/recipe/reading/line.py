"""One ingredient line: amounts, name, what state it is in, what it is used for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Amount, Item, Use
from proofbell.recipe.reading.extra import Extra, extra_in
from proofbell.recipe.reading.lengths import temperature_in
from proofbell.recipe.reading.numbers import DIGITS, NUMBER, amount_at, amounts_in, count_at, plain
from proofbell.recipe.tables.units import GRAMS
from proofbell.recipe.tables.wares import ware_of

BULLET: Final = re.compile(r"^\s*(?:[-*•·▪◦‣☐□✓]\s*|\+\s+)+")
_STATES = re.compile(
    r"(?i)\b(?:(?:very|lightly|well|finely|roughly|coarsely|freshly|just|slightly) )?(?:softened"
    r"|soft|melted|cubed|diced|chopped"
    r"|sliced|tepid|lukewarm|luke-warm|hand-hot|blood-warm|blood warm|warmed|warm|cold|chilled"
    r"|ice-cold|iced|cool|hot|boiling"
    r"|boiled|beaten|crumbled|sifted|toasted|separated|free-range|free range|organic|room[- ]temperature|packed)\b"
)
_KEEP_SOFT = re.compile(r"(?i)\bsoft (?=(?:light |dark )?(?:brown|wheat|flour)|.*\bflour)|\bice[- ]cold(?= water)")
_SIZES: Final = (
    ("XL", re.compile(r"(?i)\b(?:extra[- ]large|very large|xl)\b")),
    ("Jumbo", re.compile(r"(?i)\bjumbo\b")),
    ("L", re.compile(r"(?i)\blarge\b|\(l\)")),
    ("M", re.compile(r"(?i)\bmedium(?:-sized)?\b|\(m\)")),
    ("S", re.compile(r"(?i)\bsmall\b|\(s\)")),
)
_EXTRA = re.compile(
    r"(?i)[,(;]?\s*(?:\b(?:plus|and|with)|\+)\s+(?:a (?:little|bit)|some|extra|more)\b(?P<rest>[^()]*)\)?"
)
_FINISH = re.compile(
    r"(?i)\b(?:to|for)\b[^,;]*\b(?:glaz\w*|brush\w*|sprinkl\w*|scatter\w*|top|topping|crusts?|finish\w*"
    r"|decorat\w*|(?:egg[ -]?)?wash|serve|serving"
    r"|drizzl\w*|the tops?|coat\w*)\b|\b(?:egg[ -]?wash|to top|on top)\b"
)
_TIN = re.compile(
    r"(?i)\b(?:to|for)\b[^,;]*\b(?:dust\w*|greas\w*|oil(?:ing)?|flouring|knead(?:ing)?|roll(?:ing)?"
    r"|shap(?:e|ing)|(?:the )?(?:tin|tray|pan"
    r"|bowl|bench|worktop|surface|basket|banneton|sheet)s?|work surface)\b"
)
_PLUS = re.compile(rf"(?i)\s*(?:\bplus\b|\+|\band\b|&)\s*(?={NUMBER}\s)")
_MIXED = re.compile(
    rf"(?i),?\s+(?:(?:beaten|mixed|whisked|stirred)\s+)?(?:together\s+)?(?:with|\+|plus|and)\s+"
    rf"(?=(?:{NUMBER}|some)\s+\w)"
)
_SEVERAL = re.compile(rf"\s*[,;]\s*(?:and\s+)?(?={NUMBER})(?![^(]*\))")
_ABOUT = re.compile(
    r"(?i)^(?:ca\.?|circa|about|approx(?:\.|imately)?|roughly|around|generous|scant|a good|up to|a little"
    r"|some|a few)\s+(?=\S)"
)
_ONE_KEPT = re.compile(r"(?i)[,(]\s*(?:1|one|plus 1|\+ 1)\b[^,)]*\b(?:to|for)\b[^,)]*\b(?:glaz|brush|wash)\w*\)?")


def read_line(text: str, line: int) -> list[Item]:
    """The items of an ingredient line; empty when it has neither an amount nor a name that is known."""
    said = _ABOUT.sub("", BULLET.sub("", plain(text)).rstrip(". "))
    said = re.sub(r"(?i)^(?=(?:pinch|knob|handful|dash|sachet|packet|tsp|teaspoon|tbsp|tablespoon|cup)\b)", "1 ", said)
    mixed = _MIXED.search(said)
    if mixed is not None and _are_two(said[: mixed.start()], said[mixed.end() :]):
        both = [*read_line(said[: mixed.start()], line), *read_line(said[mixed.end() :], line)]
        use = next((item.use for item in both if item.use != "dough"), None)
        apart = all(item.ware is not None and item.ware.kind == "egg" for item in both)  # one egg is no wash of another
        return [replace(item, use=use) for item in both] if use and not apart else both
    several = _SEVERAL.split(said)
    if len(several) > 1 and _all_named(several):
        return [item for each in several for item in read_line(each, line)]
    more = extra_in(said)
    if more is not None and use_of(more.words, "other") is not None:
        return _with_extra(read_line(more.rest, line), more, line)
    found = _turned(said, line) if amount_at(said) is None else _led(said, line)
    return [item for item in _with_kept_egg(found, said) if item.name]


def _all_named(parts: list[str]) -> bool:
    """Whether each of several parts is an amount of a thing of its own: "20 g starter, 80 g flour, 80 g water"."""
    wares = [ware_of(part[here[1] :]) for part in parts if (here := amount_at(part)) is not None]
    return len(wares) == len(parts) == len({id(ware) for ware in wares if ware is not None})


def _are_two(first: str, second: str) -> bool:
    """Whether these are two things for one use, "1 yolk with 1 tbsp milk"; flour has none with what is beside it."""
    one, other = ware_of(first), ware_of(second)
    return one is not None and other is not None and one is not other and one.kind != "flour"


def _with_extra(items: list[Item], more: Extra, line: int) -> list[Item]:
    """The items of the line, and what it has beside them for piece or tin: of the last one, or a thing of its own."""
    if not items:
        return items
    last = items[-1]
    use = use_of(more.words, last.ware.kind if last.ware else "other") or "finish"
    ware = ware_of(more.name)
    if ware is not None and ware is not last.ware:
        return [*items, *(replace(item, use=use) for item in read_line(more.words, line))]
    if more.amount is not None:
        return [*items, replace(last, amounts=(more.amount,), plus=(), use=use, extra=None, note=(more.words,))]
    return [*items[:-1], replace(last, extra=use, note=(*last.note, f"plus {more.words}"))]


def use_of(text: str, kind: str) -> Use | None:
    """What a few words say an ingredient is for: on the piece, on tin or bench, or None when they do not say."""
    if _FINISH.search(text):
        return "finish"
    if _TIN.search(text):
        return "finish" if kind == "sugar" else "tin"
    return None


def _led(said: str, line: int) -> list[Item]:
    amounts: list[Amount] = []
    plus: list[Amount] = []
    levels: list[str] = []
    at, adding = 0, False
    while True:
        here = amount_at(said, at)
        if here is None:
            break
        (plus if adding else amounts).append(here[0])
        levels += [here[2]] if here[2] else []
        joint = re.compile(r"\s*(?:(?P<or>/|\bor\b|=|~)|(?P<plus>\bplus\b|\+|\band\b))?\s*").match(said, here[1])
        at = here[1]
        if joint is None or amount_at(said, joint.end()) is None:
            break
        adding, at = bool(joint["plus"]), joint.end()
    rest = re.sub(r"^\s*(?:of\b|\.)?\s*", "", said[at:])
    return [_item(rest, line, amounts, plus, levels)]


def _turned(said: str, line: int) -> list[Item]:
    """A line that begins with a count or with its name."""
    if count_at(said) is not None:
        return _counted(said, line)
    outside = re.sub(r"\([^)]*\)", lambda match: " " * len(match[0]), said)
    found = amounts_in(outside)
    if found:
        amount, begin, end = found[0]
        name, rest = said[:begin].strip(" -:.,…=("), said[end:].strip(" )")
        amounts = [amount]
        for other, first, last in found[1:]:
            if other.unit in GRAMS or said[end:first].strip(" /("):
                amounts.append(other)
                rest = said[last:].strip(" )")
        head, _, quality = name.partition(",")
        use = use_of(quality, "")
        if quality and use is None and not _STATES.search(quality) and ware_of(head) is not None:
            name = f"{quality.strip()} {head.strip().lower()}"
        return [_item(name + (f", {rest}" if rest else ""), line, amounts, [], [])]
    bare = re.compile(rf"^(?P<name>[a-zA-Z][^\d]*?)\s*[-:…]?\s+(?P<count>{DIGITS})\s*(?P<tail>\(.*\))?$").match(said)
    if bare is not None and (known := ware_of(bare["name"])) and known.kind == "egg":
        name = f"{bare['name'].strip(' -:')} {bare['tail'] or ''}"
        return [_item(name, line, [Amount(float(bare["count"]), None, "egg")], [], [])]
    return [_item(said, line, [], [], [])] if ware_of(said) is not None else []


def _counted(said: str, line: int) -> list[Item]:
    """A count before a name: "2 eggs", "1 large egg plus 1 yolk", "2 bananas"."""
    pieces = _PLUS.split(said)
    items: list[Item] = []
    for piece in pieces if len(pieces) > 1 and ware_of(said) else [said]:
        here = count_at(piece)
        if here is None:
            continue
        rest = piece[here[1] :].strip()
        known = ware_of(f"egg {rest}" if rest.lower().startswith("white") else rest)
        bracket = amounts_in(rest)
        if known is None and not bracket:
            continue
        if rest.lower() in ("yolk", "yolks", "white", "whites"):
            rest = f"egg {rest}"
        unit = "egg" if known is not None and known.kind == "egg" else "each"
        amounts = [replace(here[0], unit=unit), *(amount for amount, _, _ in bracket)]
        items.append(_item(rest, line, amounts, [], []))
    return items


def _item(rest: str, line: int, amounts: list[Amount], plus: list[Amount], levels: list[str]) -> Item:
    """The item whose name and tail stand in ``rest``, after the amount."""
    notes: list[str] = list(levels)
    extra = _EXTRA.search(rest)
    extra_words = ""
    if extra is not None:
        extra_words = extra["rest"]
        notes.append(extra[0].strip(" ,(;)"))
        rest = rest[: extra.start()] + rest[extra.end() :]
    more: list[Amount] = []
    for inside in re.findall(r"\(([^)]*)\)?", rest):
        more += [amount for amount, _, _ in amounts_in(inside) if not (amounts and amount.unit == "%")]
        notes.append(inside.strip())
    outside = re.sub(r"\([^)]*\)?|\s*(?:…|\.{3}).*$", " ", rest)
    head, *tail = re.split(
        (
            r"\s*[,;]\s*|\s+-\s+|\s+(?=(?:to|for) (?:glaz|brush|dust|greas|sprinkl|scatter|the top|topping|coat"
            r"|decorat|drizzl|taste|finish|serv|knead|oil))"
            rf"|\s+(?=or (?:about )?{DIGITS}\s)"
        ),
        outside,
    )
    tail += _about_heat(head)
    head = re.sub(r"\s+(?:at|about|@)\s+(?:about\s+)?\d+\s*°?\s*(?:[CF]\b|degrees).*$", "", head)
    while tail and _is_quality(head, tail[0]):
        head = f"{head} {tail.pop(0)}"
    notes += [each.strip() for each in tail if each and each.strip()]
    name, states, size = _name(head)
    size = size or next(
        (label for label, words in _SIZES if re.search(r"(?i)\((?:s|m|l|xl)\)", rest) and words.search(rest)), ""
    )
    notes += states
    ware = ware_of(name)
    words = " , ".join((*(note for note in notes if extra is None or note not in extra[0]), rest))
    kind = ware.kind if ware else "other"
    use = use_of(words, kind)
    kept_c = temperature_in(words)
    every = tuple(amounts) + tuple(more)
    return Item(
        line=line,
        name=name[:60].strip(),
        ware=ware,
        amounts=tuple(sorted(every, key=lambda each: each.unit not in GRAMS)) if every else (),
        plus=tuple(plus),
        note=tuple(dict.fromkeys(note for note in notes if note)),
        use=use or "dough",
        extra=(use_of(f"for {extra_words}", kind) or "tin") if extra is not None else None,
        kept_c=kept_c if kept_c is not None and kept_c <= 100 and kind in ("water", "milk", "other") else None,
        size=size,
    )


def _about_heat(head: str) -> list[str]:
    found = re.search(r"\b(?:at|about|@)\s+(?:about\s+)?(\d+\s*°?\s*(?:[CF]\b|degrees).*)$", head)
    return [found[1]] if found else []


def _is_quality(head: str, after: str) -> bool:
    """Whether the name goes on after the comma: "strong, white flour"."""
    return ware_of(head) is None and ware_of(after) is not None and len(head.split()) <= 3


def _name(head: str) -> tuple[str, list[str], str]:
    """The name without its states, the states, and an egg's size."""
    states: list[str] = []
    size = ""
    known = ware_of(head)
    if known is not None and known.kind == "egg":
        for label, pattern in _SIZES:
            if pattern.search(head):
                size = size or label
                head = pattern.sub("", head)

    def taken(match: re.Match[str]) -> str:
        if _KEEP_SOFT.match(head, match.start()) and match[0].lower() == "soft":
            return match[0]
        states.append(match[0].lower())
        return ""

    bare = _STATES.sub(taken, head)
    bare = re.sub(r"(?i)^\s*(?:(?:and|or|to|until|of|the|some|a little|all)\s+)+", "", bare.strip())
    bare = re.sub(r"(?i)^(?:sachets?|packets?|envelopes?|pack|tin|cubes?)\s+(?:of\s+)?", "", bare)
    bare = re.sub(r"\s+(?:and|or|to|until|at|with)\s*$", "", bare)
    name = " ".join(bare.split()).strip(" -:.,*")
    return (name or " ".join(head.split())), states, size


def _with_kept_egg(items: list[Item], said: str) -> list[Item]:
    """One egg of "2 eggs, 1 beaten to glaze" is for the piece."""
    kept = _ONE_KEPT.search(said)
    if kept is None or len(items) != 1 or not items[0].amounts or items[0].amounts[0].unit != "egg":
        return items
    (item,) = items
    if item.amounts[0].low < 2:
        return items
    amount = replace(item.amounts[0], low=item.amounts[0].low - 1)
    return [
        replace(item, amounts=(amount,), use="dough"),
        replace(item, amounts=(replace(amount, low=1.0),), use="finish"),
    ]
