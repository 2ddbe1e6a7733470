"""The terminal's own notification: which sequence a terminal understands, and the sequence itself. Pure.

OSC 9 (a text), OSC 777 ("notify", a title, a text) and OSC 99 (a text with keys before it) are operating system
commands as ECMA-48 frames them; none is a standard. What a terminal does not know it leaves out. Which one knows which
is told by its own variables in the environment: what terminals document of themselves, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from proofbell.frozen import dataclass
from proofbell.kitchen.model import Notify
from proofbell.visible import visible

Osc = Literal["9", "99", "777"]

_BY_PROGRAM: dict[str, Osc | None] = {
    "iTerm.app": "9", "WezTerm": "9", "ghostty": "9", "kitty": "99", "Apple_Terminal": None, "vscode": None,
    "proofbell": "9",
}  # fmt: skip
_BY_VARIABLE: tuple[tuple[str, Osc | None], ...] = (
    ("KITTY_WINDOW_ID", "99"), ("WEZTERM_PANE", "9"), ("GHOSTTY_RESOURCES_DIR", "9"), ("ITERM_SESSION_ID", "9"),
    ("VTE_VERSION", "777"), ("KONSOLE_VERSION", "777"), ("ALACRITTY_WINDOW_ID", None), ("WT_SESSION", None),
)  # fmt: skip
_BY_TERM: tuple[tuple[str, Osc | None], ...] = (
    ("xterm-kitty", "99"), ("foot", "777"), ("rxvt-unicode", "777"), ("linux", None), ("dumb", None),
    ("alacritty", None), ("screen", None),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Way:
    """How to ask for a notification: by which sequence (None: not at all), and whether through tmux."""

    osc: Osc | None
    through_tmux: bool = False
    swallowed: bool = False
    """tmux keeps it to itself, as it does unless ``allow-passthrough`` is on."""

    @property
    def words(self) -> str:
        """The way in words, for whoever tries the bell."""
        if self.swallowed:
            return "no notification: tmux keeps it (set -g allow-passthrough on lets it through)"
        if self.osc is None:
            return "no notification: this terminal has none that we know of"
        return f"the terminal's notification (OSC {self.osc}{', through tmux' if self.through_tmux else ''})"


def way_of(wanted: Notify, environment: Mapping[str, str], *, tmux_lets_through: bool = False) -> Way:
    """How this terminal is asked. In tmux only where ``tmux_lets_through``; what is ``wanted`` goes before a guess."""
    if wanted == "off":
        return Way(None)
    inside_tmux = bool(environment.get("TMUX"))
    if inside_tmux and not tmux_lets_through:
        return Way(None, swallowed=True)
    if wanted == "osc 9":
        return Way("9", inside_tmux)
    if wanted == "osc 99":
        return Way("99", inside_tmux)
    if wanted == "osc 777":
        return Way("777", inside_tmux)
    return Way(_guessed(environment, inside_tmux=inside_tmux), inside_tmux)


def _guessed(environment: Mapping[str, str], *, inside_tmux: bool) -> Osc | None:
    """OSC 9 where nothing tells: over SSH most variables are lost, and it is the one that most terminals know."""
    program = environment.get("LC_TERMINAL") or ("" if inside_tmux else environment.get("TERM_PROGRAM", ""))
    if program in _BY_PROGRAM:
        return _BY_PROGRAM[program]
    for variable, osc in _BY_VARIABLE:
        if environment.get(variable):
            return osc
    term = "" if inside_tmux else environment.get("TERM", "")
    return next((osc for begin, osc in _BY_TERM if term.startswith(begin)), "9")


def sequence(way: Way, words: str) -> str:
    """What to write for a notification; nothing in the words can end it early. Empty where there is none."""
    plain = visible(words, most=120)
    if way.osc is None:
        return ""
    if way.osc == "777":  # the parts are parted by semicolons
        sent = f"\x1b]777;notify;Proofbell;{plain.replace(';', ',')}\x1b\\"
    elif way.osc == "99":
        sent = f"\x1b]99;i=proofbell:p=body;{plain}\x1b\\"
    else:
        sent = f"\x1b]9;{plain}\x1b\\"
    return "\x1bPtmux;" + sent.replace("\x1b", "\x1b\x1b") + "\x1b\\" if way.through_tmux else sent
