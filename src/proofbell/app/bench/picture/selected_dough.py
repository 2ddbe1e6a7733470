"""The dough in hand, large: what it is, how long is left, what to do and what is advised, what comes next."""

from __future__ import annotations

import re
from dataclasses import replace

from textual.content import Content

from proofbell.app.bench.picture.countdown_words import beside, number, style
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.drawing.digits import columns, draw_blocks, largest_scale, lines
from proofbell.app.drawing.sheet import Sheet
from proofbell.bake.advice.situation import Advice
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.frozen import dataclass

SPARE = 3
"""Where there is room, a text has so many times the lines that it has to do with else."""

MOST_DOING = 4
"""Lines for what to do: enough for any but a name that was made to be long."""

STACKED_FROM = 13
"""From so many lines on the digits have lines of their own, as large as fits."""


@dataclass(frozen=True, slots=True)
class _Part:
    """Some lines that stay together; those of the highest rank are left out first when there is no room.

    ``whole``: the same uncut, where there are lines to spare; empty: the same.
    """

    lines: tuple[Content, ...]
    rank: int
    whole: tuple[Content, ...] = ()


class InHand(Sheet):
    """Draws one bake at one moment."""

    DEFAULT_CSS = """
    InHand { height: 1fr; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._view: BakeView | None = None
        self._now: Stamp | None = None
        self._hint = Content("")

    def show(self, view: BakeView | None, now: Stamp, hint: Content) -> None:
        """Another moment. ``hint`` is shown when no dough is in hand, or behind what to do."""
        self._view, self._now, self._hint = view, now, hint
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """As much as fits, whole lines only."""
        if self._view is None or self._now is None:
            return self._hint
        return in_hand(self._view, self._now, width, height, self._hint)


def in_hand(view: BakeView, now: Stamp, width: int, height: int, hint: Content) -> Content:
    """Compose the lines for so many cells: what is told at length is cut only where there is no room for it."""
    kept = _fit([part for part in _parts(view, now, width, height, hint) if part.lines], height)
    for at in sorted(range(len(kept)), key=lambda at: kept[at].rank):
        longer = replace(kept[at], lines=kept[at].whole or kept[at].lines)
        if sum(len(part.lines) for part in kept) - len(kept[at].lines) + len(longer.lines) <= height:
            kept[at] = longer
    spare = height - sum(len(part.lines) for part in kept)
    out: list[Content] = []
    for index, part in enumerate(kept):
        if index and spare >= 2:
            out.append(Content(""))
            spare -= 1
        out += part.lines
    return Content("\n").join(out)


def _parts(view: BakeView, now: Stamp, width: int, height: int, hint: Content) -> list[_Part]:
    """Everything that is told, in its order."""

    def told(text: str, most: int, rank: int, style: str = "") -> _Part:
        return _Part(_text(text, width, most, style), rank, _text(text, width, most * SPARE, style))

    def advised(advice: Advice | None) -> _Part:
        rank = 3 if advice is not None and advice.row.beside else 2
        return _Part(_advice(advice, width, most), rank, _advice(advice, width, most * SPARE))

    roomy, most = height >= 9, 4 if height >= STACKED_FROM else 2
    first = [
        _Part(_allergens(view, width), 0),
        told(view.besides and f"▶ {view.besides}", 2, 2, "bold"),
        told(view.probe, 2, 2, "bold"),
        told(view.text if view.loading else "", 3, 1),
        advised(view.advice),
        advised(view.also),
    ]
    # What to do at the stage goes before why it takes so long, which a key tells.
    carded = 3 if view.adding else 4 if roomy else 6
    # Where two things are told of the dough, or what is added and how, the digits are as large as those leave room for.
    many = view.also is not None or view.adding
    adding = told(view.text, 2, 3) if view.adding and not view.loading else _Part((), 3)
    taken = sum(len(part.lines) for part in (*first, adding)) if many else 0
    stacked = _stacked(view, now, width, height, hint, taken) if height >= STACKED_FROM else None
    return [
        _Part((_title(view, width),), 0),
        _Part(stacked or _side_by_side(view, now, width, hint), 0),
        *first,
        told("" if view.loading else view.text, 2 if view.adding else 3 if roomy else 1, carded),
        told(view.goes_in, 2, 2, "bold"),
        told(view.outside, 4, 2, "bold"),
        told(view.why, 3 if roomy else 2, 4, "$accent"),
        _Part(_next(view, width, whole=roomy), 5),
    ]


def _fit(parts: list[_Part], height: int) -> list[_Part]:
    """Without what matters least; of parts that matter the same, without what stands further down."""
    kept = list(parts)
    while kept and sum(len(part.lines) for part in kept) > height:
        kept.remove(max(reversed(kept), key=lambda part: part.rank))
    return kept or parts[:1]


def _title(view: BakeView, width: int) -> Content:
    right = Content(f"  {view.size}" + (f" · stage {view.place}" if view.place else ""))
    name = outside(view.title).truncate(max(8, width - 4 - right.cell_length), ellipsis=True)
    return Content.assemble((f" {view.letter} ", "reverse bold"), " ", name.stylize("bold"), right.stylize("$quiet"))


def _stacked(
    view: BakeView, now: Stamp, width: int, height: int, hint: Content, taken: int
) -> tuple[Content, ...] | None:
    """Stage and meaning, large digits below, what to do below them; None where nothing larger than usual fits.

    ``taken``: lines that have to stay for what is told below.
    """
    digits = number(view)
    foot = [*_doing(view, width)]
    if hint:
        foot.append(hint.truncate(width, ellipsis=True))
    around = 1 + 2 + (1 + len(foot) if foot else 0)  # the title, the head and a line below it, one above the foot
    room = min(height - 9, height - around - taken)
    scale = largest_scale(digits, width - 2, max(0, room))
    if scale < 2:
        return None
    canvas = Canvas(columns(digits, scale), lines(scale))
    draw_blocks(canvas, 0, 0, digits, scale, style(view))
    meaning = own("  " + beside(view, now), style(view) if view.mode == "over" else "")
    head = outside(view.stage + view.cold).stylize("bold").append(meaning).truncate(width, ellipsis=True)
    gap = (Content(""),) if foot else ()
    return (head, Content(""), *(canvas.line(y) for y in range(canvas.height)), *gap, *foot)


def _doing(view: BakeView, width: int, *, whole: bool = False) -> tuple[Content, ...]:
    """What to do, on as many lines as it takes; past `MOST_DOING` they end in an ellipsis, if not ``whole``."""
    if not view.do:
        return ()
    kept = wrapped(Content.assemble(("▶ ", "$accent bold"), outside(view.do).stylize("bold")), width)
    if len(kept) > MOST_DOING and not whole:
        kept = [*kept[: MOST_DOING - 1], (kept[MOST_DOING - 1] + " …").truncate(width, ellipsis=True)]
    return tuple(kept)


def _side_by_side(view: BakeView, now: Stamp, width: int, hint: Content) -> tuple[Content, ...]:
    """Small digits, the words beside them; what to do below both where it would take more lines beside them."""
    digits = number(view)
    high = lines(1) if digits else 0
    left = columns(digits, 1) + 3 if digits else 0
    room, most = max(10, width - left), max(high, 4 if hint and not view.kind else 3)
    words, below = _beside(view, now, room), _doing(view, width)
    doing = _doing(view, room, whole=True)
    if len(doing) > MOST_DOING or max(high, len(words) + len(doing)) > max(high, len(words)) + len(below):
        doing = ()
    else:
        words, below = [*words, *doing], ()
    if len(words) < most and hint and hint.cell_length <= room:
        words.append(hint)
    canvas = Canvas(left, high)
    if digits:
        draw_blocks(canvas, 0, 0, digits, 1, style(view))
    rows = range(max(high, len(words)))
    blank = Content(" " * left)
    beside_it = ((canvas.line(y) if y < high else blank) + (words[y] if y < len(words) else "") for y in rows)
    return (*beside_it, *below)


def _beside(view: BakeView, now: Stamp, room: int) -> list[Content]:
    """Stage, and what the digits mean."""
    words = [outside(view.stage + view.cold).stylize("bold").truncate(room, ellipsis=True)]
    meaning = beside(view, now)
    if own(meaning).cell_length > room:
        # The hour says more than what the digits count.
        meaning = re.split("[,;] ", meaning, maxsplit=1)[-1]
    if meaning:
        words += wrapped(own(meaning, style(view) if view.mode == "over" else ""), room)
    return words


def _text(text: str, width: int, most: int, style: str = "") -> tuple[Content, ...]:
    if not text:
        return ()
    shown = outside(text, most=600).stylize(style) if style else outside(text, most=600)
    kept = wrapped(shown, width)
    if len(kept) > most:
        kept = [*kept[: most - 1], (kept[most - 1] + " …").truncate(width, ellipsis=True)]
    return tuple(kept)


def _allergens(view: BakeView, width: int) -> tuple[Content, ...]:
    """What everybody who eats it must know: never cut off, never left out."""
    if not view.allergens:
        return ()
    told = own("Allergens: ", "bold $warning") + outside(view.allergens, most=2000).stylize("bold")
    return tuple(wrapped(told, width))


def _advice(advice: Advice | None, width: int, most: int) -> tuple[Content, ...]:
    """What is, and what to do; what to do alone where that does not fit: it is never cut off for the rest."""
    if advice is None:
        return ()
    whole = _text(advice.short, width, most + 1, "$warning")
    return whole if len(whole) <= most else _text(advice.brief, width, most, "$warning")


def _next(view: BakeView, width: int, *, whole: bool) -> tuple[Content, ...]:
    if not view.then or view.then.lower() == view.do.lower():
        return ()
    words = Content.assemble(("Next: ", "$quiet"), outside(view.then))
    return tuple(wrapped(words, width)) if whole else (words.truncate(width, ellipsis=True),)
