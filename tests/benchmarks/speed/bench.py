"""The bench in a pseudo-terminal: how soon it stands there, what it takes while nobody touches it, how keys feel."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from time import perf_counter

from tests.benchmarks.speed import bare
from tests.benchmarks.speed.figures import Figure
from tests.benchmarks.speed.processes import ours
from tests.benchmarks.speed.screens import Screened
from tests.support.terminal import environment

BARE = "-m", bare.__name__
BARE_TAKES = "a bare Textual app"
SETTLE_S = 20.0
"""The planner's search for better plans is over by then."""

KEYS = {
    "j": "cursor: another dough in hand",
    "r": "the reading's dialog",
    "2": "a digit of it",
    "w": "the weigh-out",
    "J": "the journal",
    "a": "add a bake",
}
BARE_KEYS = {"j": "\x1b[B", "r": "o", "2": "2", "w": "o", "J": "o", "a": "o"}
ESCAPE = "\x1b"


def is_whole(text: str, live: int) -> bool:
    """Whether strips, oven, hands, what comes up and the keys are there for so many doughs."""
    strips = {found[1] for found in re.finditer(r"^[ !▸]([A-L]) .*[│▏]", text, re.MULTILINE)}
    return len(strips) == live and all(words in text for words in ("oven  ", "hands  ", "Coming up", "? all keys"))


def starts(figure: Figure, folder: Path, live: int, runs: int) -> None:
    """From the call to the first whole picture; how long until there is any picture is of no use to a baker."""
    for run in range(runs + 1):
        for samples, arguments, whole in (
            (figure.ours, ours(), lambda text: is_whole(text, live)),
            (figure.bare, BARE, lambda text: bare.READY in text),
        ):
            with Screened(arguments, environment(folder)) as program:
                taken = program.until(whole) - program.begun
                if run:
                    samples.add(taken, program.processor_s())


def idle(folders: Mapping[int, Path], seconds: int) -> tuple[list[Figure], list[Figure]]:
    """Processor time and bytes of each second, of all at one time, the bare app too: what disturbs, disturbs all.

    Returns:
        The figures of idleness, and those of memory.
    """
    programs = {live: Screened(ours(), environment(folder)) for live, folder in folders.items()}
    with Screened(BARE, environment(next(iter(folders.values())))) as yardstick:
        everything = [*programs.values(), yardstick]
        _for(everything, SETTLE_S)
        spent = {program: [(program.processor_s(), program.bytes)] for program in everything}
        for _ in range(seconds):
            _for(everything, 1.0)
            for program, seen in spent.items():
                seen.append((program.processor_s(), program.bytes))
        figures, memory = [], []
        for live, program in programs.items():
            time = Figure(f"idle, {live} live: processor time a second", BARE_TAKES)
            written = Figure(f"idle, {live} live: to the terminal a second", BARE_TAKES, "bytes")
            kept = Figure(f"memory, {live} live", BARE_TAKES, "MB")
            for one, which in ((program, "ours"), (yardstick, "bare")):
                for (before_s, before), (after_s, after) in zip(spent[one], spent[one][1:], strict=False):
                    getattr(time, which).add(after_s - before_s)
                    getattr(written, which).add(float(after - before))
                getattr(kept, which).add(one.memory_mb())
            figures += [time, written]
            memory.append(kept)
    for program in programs.values():
        program.close()
    return figures, memory


def _for(programs: Sequence[Screened], seconds: float) -> None:
    """Read what all of them write, for so long."""
    end = perf_counter() + seconds
    while (left := end - perf_counter()) > 0:
        for program in programs:
            program.read(min(left, 0.01))


def keys(folder: Path, live: int, runs: int) -> list[Figure]:
    """Each key in turn, just after a second was painted: until the first bytes, and until the picture is whole."""
    figures = {
        key: (Figure(f"{name}: first bytes", BARE_TAKES), Figure(f"{name}: whole picture", BARE_TAKES))
        for key, name in KEYS.items()
    }
    with Screened(ours(), environment(folder)) as program, Screened(BARE, environment(folder)) as yardstick:
        program.until(lambda text: is_whole(text, live))
        _for([program, yardstick], SETTLE_S)
        for run in range(runs + 1):
            for key, (first, whole) in figures.items():
                felt = program.press(key)
                bare_felt = yardstick.press(BARE_KEYS[key])
                if run:
                    first.ours.add(felt[0])
                    whole.ours.add(felt[1], felt[2])
                    first.bare.add(bare_felt[0])
                    whole.bare.add(bare_felt[1], bare_felt[2])
                if key not in "jr":  # the digit goes into the reading's dialog
                    program.press(ESCAPE)
                    yardstick.press(ESCAPE)
    return [figure for pair in figures.values() for figure in pair]
