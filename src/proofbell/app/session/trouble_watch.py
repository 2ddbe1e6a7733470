"""What stands wrong between the bench and the disk: looked at anew with each tick."""

from __future__ import annotations

from proofbell.app.session.live import Live
from proofbell.app.session.local_time import ahead_us, hour_minute
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.troubles import ABOUT, JOURNAL, UNREAD, UNSAVED, Troubles
from proofbell.bake.probe.live import silent
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState, Reading
from proofbell.bench.board import Board
from proofbell.bench.overload import hands_in
from proofbell.kitchen.model import Kitchen
from proofbell.nights import nights
from proofbell.words import counted, listed, sentence

DAY_US = 24 * 3600 * 1_000_000


def watch(troubles: Troubles, live: Live) -> None:
    """What stands wrong between the bench and the disk, as of now."""
    if live.unsaved and live.unsaved.fault is not None:
        count = live.unsaved.count(live.states)
        fault = live.unsaved.fault
        kept = f"{counted(count, 'line')} of the log in memory until then"
        remedy = f"{sentence(fault.remedy)} {kept}" if fault.remedy else kept
        troubles.tell("unsaved", UNSAVED, fault.message, remedy, deed="write elsewhere")
    else:
        troubles.over("unsaved")
    if live.timers.fault is None or live.unsaved:
        troubles.over("timers")
    else:
        troubles.tell("timers", UNSAVED, live.timers.fault.message, "Timers ring while Proofbell stays open")
    troubles.tell_once("about", ABOUT, live.keeper.warning)
    if live.begun_anew and not live.unsaved:
        live.begun_anew = False
        troubles.over("damaged")
        troubles.tell(
            "begun anew",
            JOURNAL,
            "The journal file was gone; a new one was started with the doughs on the bench",
            "Earlier bakes are not in it: proofbell journal restore shows the backups to bring them back from",
            until_seen=True,
        )
    troubles.over_all("unread:")
    for bake, fault in live.unread.items():
        troubles.tell(f"unread:{bake}", UNREAD, in_words(fault), "The other bakes keep running")
    now = live.clock.stamp()
    for state in live.states:
        lost = silent(state, state.now_s(now))
        troubles.tell_once(f"probe:{state.id}", ABOUT, "" if lost is None else lost_words(state, lost, now))
    for bake, words in live.new_letters().items():
        troubles.tell(f"letter:{bake}", ABOUT, words, until_seen=True)
    if live.not_shown:
        letters = ", ".join(live.not_shown)
        troubles.tell(
            "not shown", UNREAD, f"{letters} cannot be shown, because of an internal error", "Its log is kept"
        )
    else:
        troubles.over("not shown")


def watch_nights(troubles: Troubles, kitchen: Kitchen, board: Board) -> None:
    """Hands that will be needed when nobody works, told once for the same doughs."""
    letters: tuple[str, ...] = ()
    if kitchen.quiet:
        spans = nights(kitchen, board.now.wall_us, by_us=ahead_us(board.now), ahead_us=DAY_US)
        letters = hands_in(board.hands, spans, board.now.wall_us)
    hours = " to ".join(kitchen.quiet)
    words = f"Hands are needed in the quiet hours, {hours}, for {listed(letters)}: the plan shows when, and what helps"
    troubles.tell_once("nights", ABOUT, words if letters else "")


def lost_words(state: BakeState, last: Reading, now: Stamp) -> str:
    """Which probe has fallen silent, since when, and what to look at."""
    since = hour_minute(state.wall_us(last.at_s), now)
    return f"{state.letter}: nothing from the probe since {since}. Look at its battery, its cable and its program"
