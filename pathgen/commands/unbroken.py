"""Work that a Ctrl-C does not break off half-way: it is heeded once that is done."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

HEEDED = (signal.SIGINT, signal.SIGTERM)


@contextmanager
def unbroken() -> Iterator[None]:
    """Hold back signals to stop until what is done within is done.

    Signals come to the main thread alone; in another there is nothing to hold back.

    Raises:
        KeyboardInterrupt: one came meanwhile.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []

    def note(number: int, _frame: FrameType | None) -> None:
        came.append(number)

    before = {number: signal.signal(number, note) for number in HEEDED}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    if came:
        raise KeyboardInterrupt
