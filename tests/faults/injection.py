"""Every function of the app fails once, in turn, and the bench goes on.

``python -m tests.faults.injection 1`` lets each fail alone, by hand, ``8`` eight together, ``8 344`` those left after
344; the tests let some fail.
"""

from __future__ import annotations

import asyncio
import contextlib
import inspect
import pkgutil
import random
import sys
import tempfile
import traceback
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType

import pytest

import proofbell.app
from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.terminal.ended_in_words import EndedInWords
from proofbell.bake import intents
from tests.faults.session import back_on_the_bench, bench, walk
from tests.support import quick_pilot
from tests.support.stage import HandClock


class InjectedError(RuntimeError):
    """A fault that nobody foresaw."""


BEFORE_THERE_IS_A_BENCH = frozenset(
    {
        "ProofbellApp.__init__",
        "Hosting.on_event",
        "ProofbellApp.on_mount",
        "BenchScreen.__init__",
        "KeysInTurn.on_event",
    }
)
"""Without these nothing was ever on the screen: the program ends, in words."""

OF_THE_BOUNDARY = frozenset(
    {
        "ProofbellApp.ground",
        "ProofbellApp.met",
        "ProofbellApp.tick",
        "stand_around_dispatch.dispatch_message",
        "keep_mounted_widgets_going.mounted",
    }
)
"""What stands around everything else; ``tick`` is called by the tests themselves."""

LEFT_OUT = BEFORE_THERE_IS_A_BENCH | OF_THE_BOUNDARY

THE_BOUNDARY = frozenset({"proofbell.app.terminal.boundary"})


def functions() -> dict[str, CodeType]:
    """Every function and method that is written in ``proofbell.app``, by its full name."""
    found: dict[str, CodeType] = {}
    for info in pkgutil.walk_packages(proofbell.app.__path__, "proofbell.app."):
        if info.name not in THE_BOUNDARY:
            found.update(_of_module(import_module(info.name)))
    return found


def _of_module(module: ModuleType) -> dict[str, CodeType]:
    found: dict[str, CodeType] = {}

    def add(code: CodeType, name: str) -> None:
        if code.co_filename != module.__file__:
            return  # What a dataclass writes for itself may be shared by all of them.
        found[f"{module.__name__}:{name}"] = code
        for inner in code.co_consts:
            if isinstance(inner, CodeType) and not inner.co_name.startswith("<"):
                add(inner, f"{name}.{inner.co_name}")

    for name, value in vars(module).items():
        if inspect.isfunction(value) and value.__module__ == module.__name__:
            add(value.__code__, name)
        elif inspect.isclass(value) and value.__module__ == module.__name__:
            for method, written in vars(value).items():
                if (function := _function(written)) is not None and method != "__init_subclass__":
                    add(function.__code__, f"{name}.{method}")
    return {name: code for name, code in found.items() if name.split(":")[1] not in LEFT_OUT}


def _function(written: object) -> FunctionType | None:
    """The function behind a method, a property or a decorated method."""
    if isinstance(written, property):
        written = written.fget
    written = inspect.unwrap(written) if callable(written) else written
    return written if inspect.isfunction(written) else None


@dataclass
class Injection:
    """Lets functions fail at their first call. ``fired`` names those that did."""

    targets: dict[CodeType, str]
    fired: list[str] = field(default_factory=list)

    def arm(self) -> None:
        """To be called now and then: Python takes the hook away whenever it has raised."""
        sys.setprofile(self._called)

    def disarm(self) -> None:
        """No more faults."""
        sys.setprofile(None)

    def _called(self, frame: FrameType, event: str, _argument: object) -> None:
        name = self.targets.pop(frame.f_code, None) if event == "call" else None
        if name is not None:
            self.fired.append(name)
            raise InjectedError(name)


@contextlib.contextmanager
def recorded(found: set[CodeType]) -> Iterator[Callable[[], None]]:
    """Notes the code that is run."""

    def called(frame: FrameType, event: str, _argument: object) -> None:
        if event == "call":
            found.add(frame.f_code)

    try:
        yield lambda: sys.setprofile(called)
    finally:
        sys.setprofile(None)


async def reached(folder: Path) -> dict[str, CodeType]:
    """The functions that a walk through the app runs through."""
    run: set[CodeType] = set()
    async with bench(folder) as (app, _live, clock):
        with recorded(run) as arm:
            arm()
            async with app.run_test(size=(100, 30)) as pilot:
                await walk(pilot, app, clock, arm)
    return {name: code for name, code in functions().items() if code in run}


async def survives(folder: Path, names: Collection[str], known: dict[str, CodeType]) -> list[str]:
    """Walk through the app with these functions failing; which of them did. The bench must be whole afterwards."""
    injection = Injection({known[name]: name for name in names})
    async with bench(folder) as (app, live, clock):
        injection.arm()
        try:
            async with app.run_test(size=(100, 30)) as pilot:
                await walk(pilot, app, clock, injection.arm)
                injection.disarm()
                text = await back_on_the_bench(pilot, app, clock)
                assert_alive(app, live, clock, text, injection.fired)
                await say_something(pilot, app, live)
        finally:
            injection.disarm()
    return injection.fired


def assert_alive(app: ProofbellApp, live: Live, clock: HandClock, text: str, fired: Collection[str]) -> None:
    """The bench shows this very moment and every dough, and says that something failed."""
    assert app.return_code in (0, None), fired
    moment = text.splitlines()[0]
    minutes = clock.stamp().wall_us // 60_000_000 + clock.stamp().offset_min
    assert f"{minutes // 60 % 24:02d}:{minutes % 60:02d}:" in moment, (moment, fired)
    for state in live.states:
        assert f"{state.letter} " in text, (state.letter, fired, text)


async def say_something(pilot: object, app: ProofbellApp, live: Live) -> None:
    """A key still does what it does, and it is on the disk."""
    bake = next(state.id for state in live.states if state.closed is None)
    refused = await app.say(bake, intents.AddNote("still here"))
    assert refused is None, refused
    stored = await live.keeper.read(bake)
    assert stored.notes[-1].text == "still here"
    assert not live.unsaved


def main(seed: int, together: int, done: int) -> int:
    """Let every function fail, ``together`` at a time; how many did, and which the walk did not bring to fail.

    The first ``done`` of their order are left out. Returns 1 where a bench was not whole afterwards.
    """
    with tempfile.TemporaryDirectory() as folder:
        known = asyncio.run(reached(Path(folder)))
    names = sorted(known)
    random.Random(seed).shuffle(names)
    left, failed, ended = names[done:], 0, 0
    while left:
        chosen, left = left[:together], left[together:]
        try:
            with tempfile.TemporaryDirectory() as folder:
                fired = asyncio.run(survives(Path(folder), chosen, known))
        except (AssertionError, EndedInWords, InjectedError, TimeoutError):
            ended += 1
            print(f"the bench was not whole after {', '.join(chosen)}\n{traceback.format_exc()}", flush=True)
            continue
        failed += len(fired)
        missed = [name for name in chosen if name not in fired]
        print(f"{failed:4} failed, {len(left):4} to go; not reached: {', '.join(missed) or 'none'}", flush=True)
    print(f"the bench was whole after all but {ended} walks")
    return 1 if ended else 0


if __name__ == "__main__":
    with pytest.MonkeyPatch.context() as patch:
        quick_pilot.use(patch)
        together, done = [*map(int, sys.argv[1:]), *(1, 0)[len(sys.argv) - 1 :]]
        sys.exit(main(1, together, done))
