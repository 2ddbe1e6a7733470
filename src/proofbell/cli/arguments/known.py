"""The words that the command line knows, and the nearest one to a word that it does not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from proofbell.errors import Failure

COMMANDS = {
    "guide": "short pages: a first bake, the day's plan, cold nights, the bell …",
    "new": "a formula from a recipe as it was written down, on screen or from a file",
    "check": "faults and warnings of formula files, with line numbers",
    "weigh": "what to weigh for a formula, and how warm the liquid must be",
    "shop": "everything that several doughs need, summed by ingredient",
    "plan": "start times so that everything is ready when wanted and nothing clashes",
    "rehearse": "a bake on a faster clock, on screen or at once (--print, --json); keeps nothing",
    "status": "what is on the bench, what is due, what comes next",
    "start": "begin a formula now, or what waits on the bench",
    "done": "end the stage, begin what waits, or answer the oven",
    "longer": "five minutes more for the stage, or as many as said",
    "read": "hands a reading to a live bake, from another terminal or a script",
    "timer": "a timer of your own: set one, list or stop them",
    "journal": "every bake ever made, listed; or show, compare, export, course, verify, backup, restore, rescue",
    "kitchen": "the facts of this kitchen; set one; check the probe; ring the bell",
    "serve": "the bench in a browser on this machine; in the network only with --network",
    "completion": "completion of commands, options and formulas for bash, zsh or fish",
}
"""Each command and what it is for. A new one is a line here and a file in ``cli``, which help does not import."""

BENCH = "open the bench; resumes whatever was live"
"""What opens without a word."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that ``word`` was most likely meant to be, if there is one."""
    import difflib

    by_small = {each.lower(): each for each in known}
    found = difflib.get_close_matches(word.lower(), list(by_small), n=1, cutoff=0.6)
    return by_small[found[0]] if found else None


def formula_meant(words: str, known: Iterable[str]) -> str | None:
    """The formula's short name that was typed as its name, in words of their own: ``harbour-knots``."""
    slug = "-".join(words.casefold().split())
    beginning = [each for each in known if each == slug or each.startswith(f"{slug}-")]
    return beginning[0] if len(beginning) == 1 else None


def refuse_unknown(arguments: Sequence[str]) -> None:
    """Raise `Failure` when the first word is neither a command nor a formula.

    Without a command word every plain argument is a formula for the bench; those after the first are looked at there.
    """
    word = arguments[0] if arguments else "-"
    if word.startswith("-"):
        return
    from proofbell import places
    from proofbell.visible import visible

    if _is_there(word):
        return
    from proofbell.cli.arguments.reading import own_formulas

    own, house = own_formulas(), places.house_formulas()
    if word in own or word in house:
        return
    shown = visible(word, most=80)
    meant = nearest(word, (*COMMANDS, *own, *house))
    near = f"Did you mean {visible(meant, most=80)}?" if meant else ""
    if _looks_like_a_file(word):
        raise Failure(f"There is no file {shown}.", near or _house(house))
    raise Failure(
        f"There is no command and no formula called {shown}.",
        near or f"The commands are: {', '.join(COMMANDS)}. {_house(house)}",
    )


def _house(house: Iterable[str]) -> str:
    return f"The house formulas are: {', '.join(house)}."


def _looks_like_a_file(word: str) -> bool:
    return "/" in word or "\\" in word or word.endswith(".toml")


def _is_there(word: str) -> bool:
    from proofbell import places

    try:
        return places.typed_path(word).exists()
    except Failure:
        # What cannot be a path may still be a command misspelt; what looks like a path is refused as one.
        if _looks_like_a_file(word):
            raise
        return False
