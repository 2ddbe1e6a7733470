"""The end of the program by a fault of its own, before there was a screen to tell it on."""

from __future__ import annotations

from rich.text import Text

from proofbell.visible import visible


class EndedInWords(Exception):  # noqa: N818 - it is told to a baker
    """A fault that ended the app, told without a trace."""

    def __init__(self, fault: Exception) -> None:
        super().__init__(str(fault))
        self._fault = fault

    def __rich__(self) -> Text:
        """What Textual shows of it."""
        return Text(
            "Proofbell hit an internal error before it could show anything: "
            f"{visible(f'{type(self._fault).__name__}: {self._fault}')}.\n"
            "Everything you entered is in the journal. Start it again: the bakes carry on where they are.\n"
            "With PROOFBELL_TRACE=1 set it shows the whole trace, for developers."
        )
