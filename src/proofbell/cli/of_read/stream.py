"""``proofbell read -``: line after line from a probe's own program, in one process, for as long as they come.

Nothing but the end of the input, or the baker, ends it: a line that cannot be read is told, a bake that is over or not
begun is waited for. Each value that is worth keeping goes the way of every reading.
"""

from __future__ import annotations

import contextlib
import math
import sys
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field
from typing import Protocol, TextIO

from proofbell import places
from proofbell.bake import intents
from proofbell.bake.checks import reads_in
from proofbell.bake.intents import Refused
from proofbell.bake.probe.lines import MOST, STREAMED, LineError, Said, read_line
from proofbell.bake.probe.live import PROBE
from proofbell.bake.probe.thinning import SOONEST_S, Kept, kept, latest_s
from proofbell.bake.readings import LIMITS
from proofbell.bake.state import BakeState
from proofbell.cli.arguments.live_bake import LiveBakes, live_in, no_bake
from proofbell.cli.printed.printing import refusal_text, remark
from proofbell.clock import Patience, WallClock, running_s
from proofbell.errors import Failure
from proofbell.formula.model import ReadingKind
from proofbell.journal.files.place import is_there
from proofbell.journal.storage import deciding
from proofbell.journal.storage.deciding import opened, patiently
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Probe
from proofbell.visible import visible
from proofbell.words import counted

AGAIN_S = 60.0


class Remarks:
    """Tells through ``tell``; what is held back is counted, and told with the next of its kind."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self._last_s: dict[Hashable, float] = {}
        self._held: dict[Hashable, int] = {}
        self._waits: dict[Hashable, str] = {}

    def trouble(self, kind: Hashable, text: str, at_s: float) -> None:
        """Something is wrong with a line, at ``at_s`` of a clock that only goes forward."""
        last_s = self._last_s.get(kind)
        if last_s is not None and at_s - last_s < AGAIN_S:
            self._held[kind] = self._held.get(kind, 0) + 1
            return
        held = self._held.pop(kind, 0)
        self._last_s[kind] = at_s
        self._tell(f"{text} ({held} more like it before)" if held else text)

    def wait(self, kind: Hashable, text: str) -> None:
        """What is waited for: told when it is another thing than before; nothing for waiting no more."""
        if text != self._waits.get(kind, ""):
            self._waits[kind] = text
            if text:
                self._tell(text)


class Intent(Protocol):
    """Makes a reading of a value as it was written; raises `Failure` where it is none."""

    def __call__(self, what: ReadingKind, typed: str, *, sure: bool, source: str) -> intents.Read: ...


@dataclass(slots=True)
class Stream:
    """One pipe. ``named``: the bake, as ``--bake`` has it; ``usual``: what a bare number is of.

    ``intent`` makes a reading of a value as it was written, ``taken`` prints one that is stored.
    """

    usual: ReadingKind
    named: str | None
    sure: bool
    intent: Intent
    taken: Callable[[deciding.Said], None]
    now_s: Callable[[], float] = field(default_factory=lambda: running_s)
    lines: int = 0
    stored: int = 0
    unread: int = 0
    refused: int = 0
    _bake: BakeState | None = None
    _kept: dict[ReadingKind, Kept] = field(default_factory=dict)
    _tried_s: dict[ReadingKind, float] = field(default_factory=dict)
    _remarks: Remarks = field(default_factory=lambda: Remarks(remark))

    def begin(self) -> None:
        """Look which bake it is for, before the first line.

        Raises Failure: several are live and none is named, or none of those that are live goes by that name.
        """
        if self.usual not in STREAMED:
            raise Failure(f"A probe cannot read {self.usual}.", f"There are: {', '.join(STREAMED)}.")
        if not is_there(places.journal_file()):
            self._wait(no_bake())
            return
        with opened(places.journal_file(), Patience()) as journal:
            live = _open_bakes(journal)
            if live.states:
                self._found(live.chosen(self.named))
            else:
                self._wait(no_bake())

    def read(self, source: TextIO) -> str:
        """Take lines until there are no more; why there are not, in words."""
        try:
            for line in whole_lines(source):
                self.line(line)
        except KeyboardInterrupt:
            return "Stopped."
        except OSError as error:
            if isinstance(error, BrokenPipeError):
                raise
            return f"The input cannot be read: {error.strerror or 'it failed'}."
        return "The input has ended."

    @property
    def was_in_vain(self) -> bool:
        """Whether lines came, and none could be understood, handed in, or had a bake to go to."""
        return self.lines > 0 and not self.stored and (self._bake is None or self.unread + self.refused > 0)

    @property
    def counts(self) -> str:
        """How much it was: ``120 lines read, 14 readings stored, 2 lines not understood, 1 reading refused``."""
        told = [f"{counted(self.lines, 'line')} read", f"{counted(self.stored, 'reading')} stored"]
        told += [f"{counted(self.unread, 'line')} not understood"] if self.unread else []
        told += [f"{counted(self.refused, 'reading')} refused"] if self.refused else []
        return ", ".join(told) + "."

    def line(self, line: str) -> None:
        """One line; whatever is wrong with it, the next is waited for."""
        self.lines += 1
        try:
            said = read_line(line, self.usual)
        except LineError as error:
            self.unread += 1
            self._remarks.trouble(
                "line", f"Line {self.lines}, {visible(line.strip(), most=40)}: {error}.", self.now_s()
            )
            return
        for each in said:
            try:
                self._one(each)
            except Failure as failure:
                self.refused += 1
                self._remarks.trouble("refused", f"Line {self.lines}: {refusal_text(failure)}", self.now_s())

    def _one(self, said: Said) -> None:
        at_s, what = self.now_s(), said.what
        value = self.intent(what, said.typed, sure=self.sure, source=PROBE).raw
        if value is None or at_s - self._tried_s.get(what, -math.inf) < SOONEST_S:
            return
        probe = Probe() if self._bake is None else self._bake.kitchen.probe
        keep = kept(self._kept.get(what), value, at_s, probe.good_to_k(value), latest_s(what))
        if keep is None:
            return
        self._tried_s[what] = at_s
        told = self._say(said, value)
        if told is None:
            return
        self._kept[what], self._bake = keep, told.state
        self.stored += 1
        self.taken(told)

    def _say(self, said: Said, value: float) -> deciding.Said | None:
        """Say it to the bake, if there is one that it can be said to now."""
        path = places.journal_file()
        if not is_there(path):
            self._wait(no_bake())
            return None
        retry = Patience()
        with opened(path, retry) as journal:
            state = self._which(_open_bakes(journal))
            if state is None:
                return None
            reason, sure = _not_now(state, said.what, state.now_s(WallClock().stamp())), self.sure
            self._remarks.wait(said.what, reason)
            if reason:
                return None
            in_oven = state.current is not None and state.stage(state.current).kind == "bake"
            # A core begins as warm as the dough: there is nothing odd about it while it lies in the oven.
            sure = sure or (said.what == "core temperature" and in_oven and value < LIMITS[said.what].usual[0])
            reading = self.intent(said.what, said.typed, sure=sure, source=PROBE)
            told = deciding.say(journal, state.id, reading, WallClock().stamp, retry)
        if isinstance(told, Refused):
            # What was refused keeps no good value out of the next ten seconds.
            self._tried_s.pop(said.what, None)
            raise Failure(told.message, "Not stored." if told.odd else told.remedy)
        return told

    def _which(self, live: LiveBakes) -> BakeState | None:
        """The bake it began with, for as long as that goes on; then the next that can be meant."""
        if self._bake is not None:
            found = next((state for state in live.states if state.id == self._bake.id), None)
            if found is not None:
                return found
            remark(f"{_title(self._bake)} is over.")
            self._bake = None
            self._kept.clear()
        try:
            state = live.chosen(self.named)
        except Failure as failure:
            self._wait(failure if live.states else no_bake())
            return None
        self._found(state)
        return state

    def _found(self, state: BakeState) -> None:
        self._bake = state
        self._remarks.wait("bake", "")
        remark(f"Reading for {_title(state)}. Ctrl+C ends it.")

    def _wait(self, failure: Failure) -> None:
        self._remarks.wait("bake", f"{visible(failure.message, most=300)} Waiting for one; Ctrl+C ends it.")


def _open_bakes(journal: Journal) -> LiveBakes:
    """Those that are not over: a finished one may still stand on the bench."""
    live = patiently(lambda: live_in(journal), Patience())
    return LiveBakes([state for state in live.states if state.closed is None], live.unread)


def _not_now(state: BakeState, what: ReadingKind, now_s: float) -> str:
    """Why a bake takes no such reading at this moment; nothing where it does."""
    index = reads_in(state, what, now_s)
    if index is None:
        return f"{_title(state)}: no stage runs. Waiting for one."
    if state.stage(index).kind in LIMITS[what].stages:
        return ""
    return f"{_title(state)}, {visible(state.stage(index).name, most=60)}: no {what} is read there. Waiting."


def _title(state: BakeState) -> str:
    return f"{state.letter} {visible(state.formula.name, most=60)}"


def whole_lines(source: TextIO) -> Iterator[str]:
    """Each line, as it comes; of one that is too long the beginning, too long to be read."""
    reconfigure = getattr(source, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")
    while line := source.readline(MOST + 2):
        rest = line
        while rest and not rest.endswith("\n") and len(rest) == MOST + 2:
            rest = source.readline(MOST + 2)
        yield line


def read_stream(stream: Stream) -> int:
    """Read standard input to its end; then say how much it was. The exit status: 1 where nothing came of it."""
    stream.begin()
    words = ""
    try:
        words = stream.read(sys.stdin)
    finally:
        with contextlib.suppress(KeyboardInterrupt):
            remark(" ".join(filter(None, (words, stream.counts))))
    return 1 if stream.was_in_vain else 0
