"""The number of a bake and the words beside it: what is left, what is over, what a hands stage has taken."""

from __future__ import annotations

from proofbell.app.session.local_time import hour_minute
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.words import countdown, told_length


def number(view: BakeView) -> str:
    """The digits: ``12:40``, ``1:05:09``, ``+02:10`` when it is over; none when the bake is closed or has no hour."""
    if view.mode == "closed" or (view.mode == "waiting" and view.until_us is None):
        return ""
    if view.mode == "over":
        return "+" + countdown(int(view.seconds))
    if view.mode == "up":
        return countdown(int(view.seconds))
    return countdown(view.seconds)


def beside(view: BakeView, now: Stamp) -> str:
    """What the digits mean, in words."""
    at = "" if view.until_us is None else hour_minute(view.until_us, now)
    if view.mode == "left":
        return f"left, until {at}"
    if view.mode == "over":
        return f"over since {at}"
    if view.mode == "up":
        over_s = int(view.seconds - view.length_s)
        return f"elapsed, {told_length(over_s)} over" if over_s > 0 else f"elapsed, due {at}"
    if view.mode == "waiting":
        return f"left, start at {at}" if at else "not begun"
    return ""


def style(view: BakeView) -> str:
    """Colour of the digits; the words beside say the same."""
    return {"over": "$error bold", "up": "$hands bold", "waiting": "$quiet bold"}.get(view.mode, "$proof bold")
