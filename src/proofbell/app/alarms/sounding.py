"""Rings: by the terminal's bell and the kitchen's command, in one of all open windows."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Protocol

from proofbell.app.alarms.alarm import LATER_US, RingSchedule, may_sound, ring_words
from proofbell.app.alarms.alarm_command import Commands
from proofbell.app.alarms.notification import Way
from proofbell.app.alarms.trial import LETTER, WORDS
from proofbell.app.alarms.who_rings import Leader, as_told, rings_where, who_rings
from proofbell.app.session.local_time import ahead_us
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.troubles import ALARM, Troubles
from proofbell.bake.stamp import Stamp
from proofbell.bench.board import Board, Coming
from proofbell.clock import Clock
from proofbell.errors import Failure
from proofbell.kitchen.alarm_command import refuse_unrunnable
from proofbell.kitchen.model import Kitchen
from proofbell.nights import is_quiet


class Bell(Protocol):
    """What rings in this window."""

    @property
    def way(self) -> Way:
        """How a notification is asked for."""
        ...

    def ring(self, words: str) -> None:
        """Ring, and notify."""
        ...

    def look_at_tmux(self) -> None:
        """See whether a notification gets through. May take a moment."""
        ...


class Sounding:
    """What rings now, and what was put off. ``real`` is the clock it goes by.

    ``leader``: of all open programs one rings; None: this one does. What the command does wrong goes to ``troubles``.

    ``lit``: something rang at the last look. ``rings_where``: where it rings while this window keeps silent, in few
    words; nothing where what is due keeps still, as ready bread does at night. ``silent_window``: that another window
    answers no more and is to be closed.
    """

    def __init__(
        self, kitchen: Callable[[], Kitchen], bell: Bell, leader: Leader | None, real: Clock, troubles: Troubles
    ) -> None:
        self.bell = bell
        self.commands = Commands(lambda: kitchen().alarm_command)
        self.times = RingSchedule()
        self.lit = False
        self.rings_where = ""
        self.silent_window = ""
        self._kitchen, self._leader, self._real, self._troubles = kitchen, leader, real, troubles
        self._leads, self._sounds = True, False
        self._told = as_told(None, leads=True)

    def look(self, board: Board) -> None:
        """Ring what is due, should this window be the one that rings."""
        real_us = self._real.stamp().boot_us
        self.lit, self._leads = False, True
        self._leads = self._leader is None or self._leader.take()
        sounding = self._may_sound(board)
        self._sounds = bool(sounding)
        due = self.times.due(sounding, real_us)
        self.lit = bool(due)
        if due and self._leads:
            self._ring(due, board, real_us)
        self._tell_of_command(self.commands.reap(real_us))

    def _may_sound(self, board: Board) -> tuple[Coming, ...]:
        patient = any(ring.prompt.patient for ring in board.rings)
        quiet = patient and is_quiet(self._kitchen(), board.now.wall_us, ahead_us(board.now))
        return may_sound(board.rings, quiet=quiet)

    def _ring(self, rings: Sequence[Coming], board: Board, real_us: int) -> None:
        self.bell.ring("Proofbell: " + ring_words(rings[0], board.now.wall_us))
        for ring in rings:
            self._tell_of_command(self.commands.run(ring.letter, ring_words(ring, board.now.wall_us), real_us))

    def _tell_of_command(self, failed: str) -> None:
        if failed:
            self._troubles.tell("alarm command", ALARM, failed, until_seen=True)

    def look_at_leader(self, now: Stamp, *, heard: bool) -> str:
        """See which window rings; in words what is new about it, once, and only where it can be ``heard``."""
        holder = None if self._leader is None else self._leader.holder()
        words, told = who_rings(holder, now, leads=self._leads), as_told(holder, leads=self._leads)
        self.rings_where = rings_where(holder, leads=self._leads) if self._sounds else ""
        self.silent_window = "" if holder is None or holder.answers else words
        if told == self._told or not heard:
            return ""
        self._told = told
        return words or "This window rings now."

    async def look_ahead(self) -> None:
        """What would keep the bell from being heard is told before it has to ring."""
        await asyncio.to_thread(self.bell.look_at_tmux)
        try:
            await asyncio.to_thread(refuse_unrunnable, self._kitchen().alarm_command)
        except Failure as failure:
            self._tell_of_command(in_words(failure))

    def try_it(self) -> str:
        """Ring once, in every way that this kitchen has; in words, which."""
        self.bell.ring(f"Proofbell: {LETTER}  {WORDS}")
        command = self._kitchen().alarm_command
        wrong = self.commands.run(LETTER, WORDS, self._real.stamp().boot_us)
        ran = "" if not command or wrong else f", and the command {command[0]}"
        return wrong or f"Rang the terminal's bell; {self.bell.way.words}{ran}."

    def put_off(self, ring: Coming) -> None:
        """Somebody said "later": keep still for a while."""
        self.times.put_off(ring, self._real.stamp().boot_us + LATER_US)

    def is_put_off(self, ring: Coming) -> bool:
        """Whether later is not yet."""
        return self.times.is_put_off(ring, self._real.stamp().boot_us)
