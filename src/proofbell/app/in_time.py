"""Work for which a disk may never answer: it gets a thread that nothing waits for, and only so long."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import TypeVar

T = TypeVar("T")


async def in_time(job: Callable[[], T], patience_s: float) -> T:
    """Return what the job gives, or raise what it raises; it goes on unheard where that takes too long.

    Raises:
        TimeoutError: it took longer than ``patience_s``.
    """
    done: Future[T] = Future()

    def work() -> None:
        try:
            done.set_result(job())
        except BaseException as error:  # noqa: BLE001 - raised again where it is waited for
            done.set_exception(error)

    # The program's own pool of threads is waited for at its end; a share that has gone away would hold that up.
    threading.Thread(target=work, name="disk", daemon=True).start()
    return await asyncio.wait_for(asyncio.shield(asyncio.wrap_future(done)), patience_s)
