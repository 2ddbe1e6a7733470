"""Where two pictures of the same size differ: only those cells are painted, and sent to the terminal."""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate, zip_longest

from rich.cells import cell_len
from textual.content import Content
from textual.geometry import Region

Line = tuple[str, list[tuple[int, int, object]]]
"""Its text, and where in it each style begins and ends."""


def changed(before: Content, after: Content, width: int) -> list[Region] | None:
    """In each line from the first cell that differs to the last; None where a line is too wide and is wrapped."""
    regions: list[Region] = []
    none: Line = ("", [])
    for y, (old, new) in enumerate(zip_longest(_lines(before), _lines(after), fillvalue=none)):
        cells = cell_len(old[0]), cell_len(new[0])
        if max(cells) > width:
            return None
        if old == new:
            continue
        # A wide character counts two cells: then the columns of the two lines cannot be compared.
        if cells != (len(old[0]), len(new[0])):
            regions.append(Region(0, y, width, 1))
            continue
        columns = [x for x, (one, other) in enumerate(zip_longest(_characters(old), _characters(new))) if one != other]
        if columns:
            regions.append(Region(columns[0], y, columns[-1] + 1 - columns[0], 1))
    return regions


def line_of(content: Content, y: int, width: int) -> Content | None:
    """One line of a content by itself; None where a line is too wide, so that those below it stand elsewhere."""
    texts = content.plain.split("\n")
    if any(cell_len(text) > width for text in texts):
        return None
    if y >= len(texts):
        return Content("")
    begin = sum(len(text) + 1 for text in texts[:y])
    return content[begin : begin + len(texts[y])]


def _lines(content: Content) -> list[Line]:
    texts = content.plain.split("\n")
    lines: list[Line] = [(text, []) for text in texts]
    begins = list(accumulate((len(text) + 1 for text in texts), initial=0))
    for span in content.spans:
        for y in range(bisect_right(begins, span.start) - 1, len(lines)):
            if begins[y] >= span.end:
                break
            lines[y][1].append((max(0, span.start - begins[y]), span.end - begins[y], span.style))
    return lines


def _characters(line: Line) -> list[tuple[str, tuple[object, ...]]]:
    text, spans = line
    styles: list[tuple[object, ...]] = [()] * len(text)
    for begin, end, style in spans:
        for at in range(begin, min(end, len(text))):
            styles[at] += (style,)
    return list(zip(text, styles, strict=True))
