"""What is read from across the room: one dough or timer, what to do, what is next, how many more wait, the clock."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len
from textual.content import Content

from proofbell.app.bench.picture.countdown_words import beside, number, style
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.digits import draw_blocks, known, largest_scale, lines, points_wide
from proofbell.app.drawing.strip_drawing import short
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.asking.timer import LETTER, Timer
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.bench.agenda import Ahead
from proofbell.bench.board import Board
from proofbell.frozen import dataclass
from proofbell.words import countdown

IN_DOUBT = "Time in doubt"

ROOMY = 18
"""From so many lines on there are block letters beside the digits."""

LEAST_DIGITS = 3
"""Lines for the digits, which never go."""


@dataclass(frozen=True, slots=True)
class Face:
    """What is drawn: block digits, what they mean, what is to do or goes on in capitals, and more to do beside it.

    ``besides`` is what else is due.
    """

    title: str
    letter: str
    digits: str
    digits_style: str
    capitals: str
    meaning: str
    meaning_style: str = ""
    act: str = ""
    asked: bool = False
    besides: str = ""


@dataclass(frozen=True, slots=True)
class Around:
    """What stands round a face. ``then``: the next thing on the bench, its hour, letter and words.

    ``more``: how many others wait for somebody. ``timers``: those that run. ``said``: what was answered just now.
    """

    clock: str = ""
    back: str = "esc back"
    more: int = 0
    then: tuple[str, str, str] | None = None
    timers: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class _Band:
    """Some lines across the screen; those of the highest rank are left out first when there is no room."""

    lines: int
    rank: int
    draw: Callable[[int], object]


def dough_face(view: BakeView, now: Stamp, *, in_doubt: bool = False) -> Face:
    """A dough. A time ``in_doubt`` has a question mark, and its name in capitals where nothing is to do."""
    digits = number(view)
    return Face(
        title=f"{view.letter}  {view.title} · {view.stage}{view.cold}",
        letter=view.letter,
        digits=f"{digits}?" if digits and in_doubt else digits,
        digits_style=style(view),
        capitals=view.do or (IN_DOUBT if in_doubt else view.stage + view.cold),
        meaning=" · ".join(words for words in (IN_DOUBT if in_doubt else "", beside(view, now)) if words),
        meaning_style=style(view) if view.mode == "over" else "bold",
        act=_act(view) or view.goes_in or view.probe,
        asked=bool(view.do),
        besides=view.besides,
    )


def _act(view: BakeView) -> str:
    """What is advised to be done at once, in few words; a caution without its figures, as there is no room for them."""
    if view.advice is None or not (view.advice.act or view.advice.forbids):
        return ""
    return view.advice.to_do if view.advice.row.beside else view.advice.brief


def timer_face(timer: Timer, now: Stamp) -> Face:
    """A timer of the baker's own."""
    left_s, at = timer.left_s(now), hour_minute(timer.due_us(now), now)
    over = left_s <= 0
    colour = "$error bold" if over else "$proof bold"
    return Face(
        title=f"{LETTER}  {timer.name}",
        letter=LETTER.upper(),
        digits="+" + countdown(int(-left_s)) if over else countdown(left_s),
        digits_style=colour,
        capitals=timer.name,
        meaning=f"over since {at}" if over else f"left, rings at {at}",
        meaning_style=colour if over else "bold",
        asked=over,
    )


def around(
    board: Board, listed: Sequence[Ahead], shown: str, timers: Sequence[Timer], back: str, said: str = ""
) -> Around:
    """What stands round the bake or timer ``shown`` (its id). ``listed``: all to come; ``timers``: others that run."""
    now = board.now
    left = ((timer, timer.left_s(now)) for timer in timers)
    coming = next((one for one in listed if not one.due), None)
    late = sum(timer.left_s(now) <= 0 for timer in timers)
    return Around(
        clock=hour_minute(now.wall_us, now),
        back=back,
        more=late + sum(bool(one.wants) and one.bake != shown for one in board.views),
        then=None if coming is None else (hour_minute(coming.at_us, now), coming.letter, coming.words),
        timers=" · ".join(f"{one.name} {countdown(s) if s > 0 else '+' + countdown(int(-s))}" for one, s in left),
        said=said,
    )


def far(face: Face, beside_it: Around, width: int, height: int) -> Content:
    """Compose the whole screen."""
    canvas = Canvas(width, height)
    roomy, unit = height >= ROOMY and width >= 50, 2 if height >= 34 and width >= 110 else 1
    top = _head(canvas, face, beside_it, roomy=roomy, unit=unit)
    bands = _below(canvas, face, beside_it, roomy=roomy, unit=unit)
    while bands and top + LEAST_DIGITS + sum(band.lines for band in bands) > height:
        bands.remove(max(bands, key=lambda band: band.rank))
    room = height - top - sum(band.lines for band in bands)
    scale = largest_scale(face.digits, width - 2, room)
    high = lines(scale) if scale else 1 if face.digits else 0
    spare = room - high
    # Half of what is left stands round the digits; then each band gets a line before it, the last ones first.
    gaps = min(len(bands), spare // 2)
    y = top + (spare - gaps) // 2
    if scale:
        left = max(1, (width - points_wide(face.digits) * scale) // 2)
        draw_blocks(canvas, left, y, face.digits, scale, face.digits_style)
    else:
        _centred(canvas, y, face.digits, face.digits_style)
    y = height - sum(band.lines for band in bands) - gaps
    for index, band in enumerate(bands):
        y += 1 if index >= len(bands) - gaps else 0
        band.draw(y)
        y += band.lines
    return canvas.content()


def _head(canvas: Canvas, face: Face, beside_it: Around, *, roomy: bool, unit: int) -> int:
    """Title, letter, how many more wait, clock, timers; how many lines that takes."""
    width, more = canvas.width, beside_it.more
    waiting = f"{more} more wait{'s' if more == 1 else ''}" if more else ""
    parts = [beside_it.back] if roomy else [waiting, beside_it.clock, beside_it.back]
    right = "  ".join(part for part in parts if part)
    canvas.put(1, 0, short(face.title, width - cell_len(right) - 4), "bold")
    canvas.put(width - cell_len(right) - 1, 0, right, "$quiet" if roomy else "bold")
    y = 1
    if roomy:
        y += 1 if unit > 1 else 0
        letter_at = draw_blocks(canvas, 1, y, face.letter, unit, "$accent") if known(face.letter) else 1
        clock = beside_it.clock.upper()
        clock_at = width - 1
        if known(clock):
            clock_at -= points_wide(clock) * unit
            draw_blocks(canvas, clock_at, y, clock, unit, "bold")
        else:
            clock_at -= cell_len(clock)
            canvas.put(clock_at, y, clock, "bold")
        if waiting:
            _in_blocks(canvas, letter_at + 2, clock_at - 2, y, (waiting, f"+{more}"), unit, "$warning bold")
        y += lines(unit)
    for words in (beside_it.timers, beside_it.said):
        if words:
            _centred(canvas, y, words, "bold")
            y += 1
    return y


def _in_blocks(canvas: Canvas, left: int, right: int, y: int, ways: Sequence[str], unit: int, style_: str) -> None:
    """The first of some words that fits between two columns, in the middle of them."""
    for words in ways:
        columns = points_wide(words.upper()) * unit
        if columns <= right - left:
            draw_blocks(canvas, left + (right - left - columns) // 2, y, words.upper(), unit, style_)
            return


def _below(canvas: Canvas, face: Face, beside_it: Around, *, roomy: bool, unit: int) -> list[_Band]:
    """What stands below the digits, from above."""
    width, bands = canvas.width, list[_Band]()
    if face.meaning:
        bands.append(_Band(1, 2, lambda y: _centred(canvas, y, face.meaning, face.meaning_style)))
    sign = "▶ " if face.asked else ""
    capitals: tuple[str, ...] = ()
    detail = ""
    for room in (width - 2) // unit, width - 2:
        if roomy and not capitals:
            capitals, detail = _capitals(face.capitals, room, most=2 if face.asked else 1)
    if capitals:
        bands.append(_deed(canvas, capitals, unit))
        if detail:
            bands.append(_Band(1, 3, lambda y: _centred(canvas, y, detail, "bold")))
    elif face.capitals:
        bands.append(_Band(1, 0, lambda y: _centred(canvas, y, sign + face.capitals, "bold")))
    if face.besides:
        bands.append(_Band(1, 1, lambda y: _centred(canvas, y, f"▶ {face.besides}", "bold")))
    if face.act:
        bands.append(_Band(1, 1, lambda y: _centred(canvas, y, face.act, "bold")))
    if beside_it.then is not None:
        # What is next is never larger than what is to be done now.
        bands.append(_next(canvas, face, beside_it.then, roomy=roomy and (len(capitals) == 1 or not face.asked)))
    return bands


def _deed(canvas: Canvas, capitals: Sequence[str], unit: int) -> _Band:
    """What to do in block capitals, in a line or two."""
    widest = max(points_wide(line) for line in capitals)
    scale = min(unit, (canvas.width - 2) // widest)
    high = lines(scale) + 1

    def draw(y: int) -> None:
        for at, line in enumerate(capitals):
            left = max(1, (canvas.width - points_wide(line) * scale) // 2)
            draw_blocks(canvas, left, y + at * high, line, scale, "bold")

    return _Band(len(capitals) * high - 1, 0, draw)


def _next(canvas: Canvas, face: Face, then: tuple[str, str, str], *, roomy: bool) -> _Band:
    """What is next: its hour and its deed in block letters where they fit, under the word that says so."""
    at, letter, words = then
    head = at if letter == face.letter else f"{at} {letter}"
    blocks = ""
    for deed in _shorter(words) if roomy else ():
        told = f"{head} {deed}".upper().replace("'", "")
        if known(told) and points_wide(told) <= canvas.width - 2:
            blocks = told
            break
    if not blocks:
        return _Band(1, 4, lambda y: _centred(canvas, y, f"Next {at}  {letter}  {words}", "bold"))

    def draw(y: int) -> None:
        _centred(canvas, y, "Next", "bold")
        draw_blocks(canvas, max(1, (canvas.width - points_wide(blocks)) // 2), y + 1, blocks, 1, "$proof")

    return _Band(1 + lines(1), 4, draw)


def _centred(canvas: Canvas, y: int, words: str, style_: str) -> None:
    shown = short(words, canvas.width - 2)
    canvas.put(max(1, (canvas.width - cell_len(shown)) // 2), y, shown, style_)


def _shorter(doing: str) -> tuple[str, ...]:
    """The deed whole, and its first part alone."""
    return tuple(dict.fromkeys((doing, doing.split(":", maxsplit=1)[0], doing.split(",", maxsplit=1)[0])))


def _capitals(doing: str, width: int, *, most: int) -> tuple[tuple[str, ...], str]:
    """What to do in block capitals, in ``most`` lines, and what they leave out; nothing when it does not fit."""
    for words in _shorter(doing):
        text = _in_capitals(words)
        if not text or not known(text):
            continue
        if points_wide(text) <= width:
            return (text,), doing[len(words) :].strip(" :,?")
        halves = _halves(text, width) if most > 1 else ()
        if halves:
            return halves, doing[len(words) :].strip(" :,?")
    return (), ""


_NO_BLOCK = str.maketrans("", "", "'()")
"""Signs that block letters do without."""


def _in_capitals(words: str) -> str:
    return words.upper().translate(_NO_BLOCK).strip(" ?")


def _halves(text: str, width: int) -> tuple[str, ...]:
    """The text in two lines that fit: broken at a stop if it can be, else as late as it can be."""
    parts = text.split()
    ways = [(" ".join(parts[:at]), " ".join(parts[at:])) for at in range(len(parts) - 1, 0, -1)]
    fitting = [way for way in ways if all(points_wide(half) <= width for half in way)]
    return next((way for way in fitting if way[0].endswith((",", ":"))), next(iter(fitting), ()))
