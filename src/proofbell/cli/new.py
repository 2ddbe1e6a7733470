"""``proofbell new``: a formula file from a recipe as it was written down."""

from __future__ import annotations

import argparse
import contextlib
import sys
import textwrap
from pathlib import Path
from typing import Any, get_args

from proofbell import places
from proofbell.cli.arguments.reading import own_folders
from proofbell.cli.printed.printing import print_json, remark
from proofbell.cli.streams import need_terminal
from proofbell.errors import Failure
from proofbell.recipe.assembly import MOST_LETTERS, read_recipe
from proofbell.recipe.document import as_document
from proofbell.recipe.draft import Draft
from proofbell.recipe.model import Country
from proofbell.recipe.own_file import free_place, own_place, write_new
from proofbell.recipe.toml_text import toml_text
from proofbell.regular_file import NotAFileError, first_bytes
from proofbell.visible import visible

EXAMPLE = "proofbell new --from recipe.txt --own"

_MOST_BYTES = 4 * MOST_LETTERS


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--from",
        dest="source",
        metavar="FILE",
        help="the recipe, a plain text; - reads standard input; without it the page opens that reads as you type",
    )
    to = parser.add_mutually_exclusive_group()
    to.add_argument("--out", metavar="FILE", help="the formula to write; - or nothing prints it")
    to.add_argument("--own", action="store_true", help="write it among your own formulas, named after the recipe")
    parser.add_argument(
        "--country", choices=get_args(Country), help="whose cups and spoons, in place of what the recipe seems to be"
    )
    parser.add_argument("--name", metavar="NAME", help="what the formula is called, in place of the recipe's title")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Write or print the formula; guesses and what was not read go to standard error. Raises `Failure`."""
    if args.source is None:
        return _page(args)
    out = None if args.out in (None, "-") else free_place(places.path_to_write(args.out))
    draft = read_recipe(_text(args.source), args.country, visible(args.name, most=80) if args.name else "")
    text = toml_text(draft)
    if args.own:
        out = own_place(own_folders()[0], draft.name)
    if out is not None:
        write_new(out, text)
    if args.json:
        print_json({**as_document(draft, text), "file": None if out is None else str(out)})
    elif out is None:
        print(text, end="")
    else:
        print(f"{visible(str(out), most=300)}: written.")
    if args.json and draft.lacks:
        _remark(f"check: {draft.lacks}")
    if not args.json:
        _say(draft)
        if args.own and out is not None:
            _remark(f"to bake it: proofbell {out.stem}")
        elif out is None:
            _hint()
    return 0


def _page(args: argparse.Namespace) -> int:
    if args.out is not None or args.own or args.country or args.name or args.json:
        raise Failure("There is no recipe to read.", "Name its file with --from; without it only the page opens.")
    need_terminal("The page for a recipe", "give its file with --from.")
    from proofbell.cli.bench import open_bench

    return open_bench([], recipe=True)


def _text(source: str) -> str:
    data = sys.stdin.buffer.read(_MOST_BYTES + 1) if source == "-" else _bytes(places.typed_path(source))
    if len(data) > _MOST_BYTES:
        raise Failure("This is too long for a recipe.", f"Keep to {MOST_LETTERS // 1024} KiB.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Failure("The recipe is not plain text in UTF-8.", "Save it as plain text and try again.") from error
    if not text.strip():
        raise Failure("There is no recipe: nothing is in it.", "Give a text with ingredients and method.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _bytes(path: Path) -> bytes:
    shown = visible(str(path), most=120)
    try:
        return first_bytes(path, _MOST_BYTES)
    except NotAFileError as error:
        raise Failure(f"{shown} is {error.what}, not a file.", "Name a text file, or - for standard input.") from error
    except FileNotFoundError as error:
        raise Failure(f"There is no file {shown}.", "Name a text file, or - for standard input.") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        raise Failure(f"{shown} cannot be read: {reason}.", "Check that the file and its disk are there.") from error


def _hint() -> None:
    """Where own formulas live; left out where the kitchen file cannot say."""
    with contextlib.suppress(Failure):
        remark(f"hint: --own writes it into {visible(places.short(own_folders()[0]), most=300)}")


def _say(draft: Draft) -> None:
    """Guesses, then what was not read, on standard error."""
    asked: list[Any] = [guess for guess in draft.guesses if guess.ask]
    for guess in (*asked, *(guess for guess in draft.guesses if not guess.ask)):
        where = f"line {guess.line}: " if guess.line else ""
        value = f" {guess.shown}" if guess.value else ""
        _remark(f"{'check' if guess.ask else 'guess'}: {where}{guess.field}{value} ({guess.why})")
    for each in draft.unread:
        _remark(f"not read: line {each.line}: {each.text}")


def _remark(words: str) -> None:
    remark(textwrap.fill(visible(words, most=400), 79, subsequent_indent="    ", break_on_hyphens=False))
