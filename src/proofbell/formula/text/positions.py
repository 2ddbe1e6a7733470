"""Where every key and value of a TOML text stands: path -> places.

No parser of TOML tells it. This scan runs only on text that a parser has accepted, so it needs no faults of its own;
it knows just enough of the grammar (TOML 1.0, and line breaks in inline tables) to follow it. A path is a tuple of
names and of numbers from 0 for the items of lists, such as ``("stages", 2, "checks", 0, "read")``.
"""

from __future__ import annotations

import re
from bisect import bisect_right

import tomli

from proofbell.frozen import dataclass

Path = tuple[str | int, ...]

_SPACE = re.compile(r"(?:[ \t\n]|#[^\n]*)*+")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}'
    r"|'''(?:[^']|'(?!''))*+'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*+"'
    r"|'[^'\n]*+'",
    re.DOTALL,
)
# A number, date or truth value: a date and its hour may have one space between them.
_PLAIN = re.compile(r"[^\s,\]}#]+(?: [0-9][^\s,\]}#]*)?")


@dataclass(frozen=True, slots=True)
class Place:
    """Line and column from 1, and how many characters it is long on that line."""

    line: int
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a key (for an item of a list, or a table of several: its beginning) and its value stand."""

    key: Place
    value: Place


def positions(text: str) -> dict[Path, Spot]:
    """Return the places of all keys, values and items of ``text``, whose lines end in a bare line feed."""
    return _Scan(text).run()


class _Scan:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.spots: dict[Path, Spot] = {}
        self.counts: dict[Path, int] = {}
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def run(self) -> dict[Path, Spot]:
        table: Path = ()
        self._skip()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip()
        return self.spots

    def _skip(self) -> None:
        match = _SPACE.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def _place(self, begin: int, end: int) -> Place:
        line = bisect_right(self.starts, begin)
        line_end = self.text.find("\n", begin, end)
        return Place(line, begin - self.starts[line - 1] + 1, max(1, (end if line_end < 0 else line_end) - begin))

    def _header(self) -> Path:
        begin = self.at
        several = self.text.startswith("[[", begin)
        self.at += 2 if several else 1
        parts = self._names()
        self.at = self.text.index("]", self.at) + (2 if several else 1)
        place = self._place(begin, self.at)
        path: Path = ()
        for index, (name, _) in enumerate(parts):
            path = (*path, name)
            last = index == len(parts) - 1
            self.spots.setdefault(path, Spot(place, place))
            if last and several:
                self.counts[path] = self.counts.get(path, -1) + 1
            if path in self.counts:
                path = (*path, self.counts[path])
                self.spots.setdefault(path, Spot(place, place))
        return path

    def _names(self) -> list[tuple[str, Place]]:
        """The parts of a dotted key, without the quotation marks that some have."""
        parts: list[tuple[str, Place]] = []
        while True:
            self._skip()
            begin = self.at
            bare = _BARE.match(self.text, begin)
            if bare:
                self.at = bare.end()
                name = bare[0]
            else:
                self._string()
                name = tomli.loads(f"x = {self.text[begin : self.at]}")["x"]
            parts.append((name, self._place(begin, self.at)))
            self._skip()
            if self.text[self.at] != ".":
                return parts
            self.at += 1

    def _string(self) -> None:
        match = _STRING.match(self.text, self.at)
        self.at = match.end() if match else len(self.text)

    def _pair(self, table: Path) -> None:
        path = table
        places: list[tuple[Path, Place]] = []
        for name, place in self._names():
            path = (*path, name)
            places.append((path, place))
        self.at += 1
        self._skip()
        value = self._value(path)
        for part, place in places:
            self.spots.setdefault(part, Spot(place, value))

    def _value(self, path: Path) -> Place:
        begin = self.at
        first = self.text[begin]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._items(path)
        elif first == "{":
            self._inline(path)
        else:
            match = _PLAIN.match(self.text, begin)
            self.at = match.end() if match else len(self.text)
        return self._place(begin, self.at)

    def _items(self, path: Path) -> None:
        self.at += 1
        index = 0
        while True:
            self._skip()
            if self.text[self.at] == "]":
                self.at += 1
                return
            item = (*path, index)
            place = self._value(item)
            self.spots[item] = Spot(place, place)
            index += 1
            self._comma()

    def _inline(self, path: Path) -> None:
        self.at += 1
        while True:
            self._skip()
            if self.text[self.at] == "}":
                self.at += 1
                return
            self._pair(path)
            self._comma()

    def _comma(self) -> None:
        self._skip()
        if self.text[self.at] == ",":
            self.at += 1
