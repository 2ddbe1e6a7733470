"""Keys are taken one after the other, each only when the one before has had its effect.

Textual hands each key at once to what has the focus then. A key that opens a line to type on has not done so when the
next is already on its way, if both come in one breath: typed fast, or while the program was busy. What was meant for
the line would be taken for commands.
"""

from __future__ import annotations

import asyncio
from collections import deque

from textual import events
from textual.app import App
from textual.dom import DOMNode

ROUNDS = 2
"""So often the way of a key is followed: the key itself, and then what it made a widget tell its screen."""

LONGEST_S = 0.25
"""After this a key counts as done, whatever became of it: no key may ever be waited for in vain."""


class KeysInTurn(App[int]):
    """An app whose keys are taken in turn. Nothing is held back while they come one at a time."""

    def __init__(self, *, ansi_color: bool | None = None) -> None:
        super().__init__(ansi_color=ansi_color)
        self._waiting_keys: deque[events.Key] = deque()
        self._key_under_way = 0
        self._keys_taken = 0
        self._until_s = 0.0

    async def on_event(self, event: events.Event) -> None:
        """Take a key, or have it wait until the one before is done."""
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
        elif self._key_under_way and asyncio.get_running_loop().time() < self._until_s:
            self._waiting_keys.append(event)
        else:
            # The one before is done, or something failed on its way.
            self._waiting_keys.append(event)
            await self._take(self._waiting_keys.popleft())

    async def _take(self, event: events.Key) -> None:
        self._keys_taken += 1
        number = self._key_under_way = self._keys_taken
        self._until_s = asyncio.get_running_loop().time() + LONGEST_S
        self.set_timer(LONGEST_S, lambda: self._done(number))
        target: DOMNode = self.focused or self.screen
        await super().on_event(event)
        self._follow(number, target, ROUNDS)

    def _follow(self, number: int, pump: DOMNode | None, rounds: int) -> None:
        """Go the way of the key: from what took it through all that it is in, each after what it had to do before."""
        if number != self._key_under_way:
            return
        if pump is None or pump is self:
            self.call_later(self._been_round, number, rounds - 1)
        elif not pump.call_later(self._follow, number, pump.parent, rounds):
            # It is being taken down: its way ends here.
            self.call_later(self._been_round, number, rounds - 1)

    async def _been_round(self, number: int, rounds: int) -> None:
        if rounds and number == self._key_under_way:
            self._follow(number, self.focused or self.screen, rounds)
        else:
            await self._done(number)

    async def _done(self, number: int) -> None:
        if number == self._key_under_way:
            self._key_under_way = 0
            if self._waiting_keys:
                await self._take(self._waiting_keys.popleft())
