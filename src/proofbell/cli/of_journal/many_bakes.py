"""``proofbell journal course`` and ``week``: many bakes at once."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Protocol

from proofbell import places
from proofbell.cli.arguments.journal_find import all_bakes, open_journal
from proofbell.cli.arguments.known import nearest
from proofbell.cli.arguments.reading import formula_bytes, own_formulas
from proofbell.cli.printed.printing import SCHEMA, print_json
from proofbell.clock import WallClock
from proofbell.errors import Failure
from proofbell.formula.read import load
from proofbell.journal.reviews.moments import local
from proofbell.journal.reviews.summary import Summary
from proofbell.visible import visible

SIX_DAYS = timedelta(days=6)


class AddJob(Protocol):
    """Declares one of the journal's jobs."""

    def __call__(
        self,
        jobs: argparse._SubParsersAction[argparse.ArgumentParser],
        name: str,
        run_job: Callable[[argparse.Namespace], int],
        words: str,
    ) -> argparse.ArgumentParser:
        """By its name, what does it, and what help says of it."""


def add_jobs(jobs: argparse._SubParsersAction[argparse.ArgumentParser], job: AddJob) -> None:
    """Declare the jobs about many bakes."""
    course = job(jobs, "course", _course, "one formula over all its bakes: means, limits, and what is out of line")
    course.add_argument(
        "formula", metavar="FORMULA", help="its name, a part of it that no other has, or its file's short name"
    )
    course.add_argument("--svg", type=places.path_to_write, metavar="FILE", help="write it as a picture")
    course.add_argument("--to", type=places.path_to_write, metavar="FILE", help="write it; .svg a picture, .json, .txt")
    course.add_argument("--overwrite", action="store_true", help="replace a file that is there")
    week = job(jobs, "week", _week, "a week: what was baked, flour, hours of oven and hands, what was given up")
    week.add_argument("--from", dest="first", type=_day, metavar="DAY", help="such as 2026-03-09; else this Monday")
    week.add_argument("--to", dest="last", type=_day, metavar="DAY", help="the last day; else six days later")
    week.add_argument("--markdown", action="store_true", help="as a page in Markdown")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Failure(f"{visible(text, most=40)} is not a day.", "Write 2026-03-09.") from error


def _course(args: argparse.Namespace) -> int:
    from proofbell.cli.of_journal.export import write_pieces
    from proofbell.cli.printed.course_text import text_lines
    from proofbell.journal.course.course import course
    from proofbell.journal.course.course_json import document
    from proofbell.journal.course.course_svg import course_svg
    from proofbell.json_text import json_text

    ending = ".svg" if args.svg else "" if args.to is None else args.to.suffix.casefold()
    if ending not in ("", ".svg", ".json", ".txt"):
        raise Failure(f"{visible(str(args.to))}: a course is written as .svg, .json or .txt.", "Choose one of them.")
    with open_journal() as journal:
        summaries = all_bakes(journal)
    found = course(_one_formula(summaries, args.formula), summaries)
    to = args.svg or args.to
    if to is not None:
        if ending == ".svg":
            text = course_svg(found)
        elif ending == ".json":
            text = json_text({"schema": SCHEMA, **document(found)}) + "\n"
        else:
            text = "".join(f"{line}\n" for line in text_lines(found))
        write_pieces(to, [text], overwrite=args.overwrite)
    if args.json:
        print_json(document(found))
    elif to is None:
        for line in text_lines(found):
            print(line)
    return 0


def _one_formula(summaries: Sequence[Summary], named: str) -> str:
    """The formula that was meant, by its name in the bakes or by the short name of its file.

    Raises:
        Failure: no bake has such a formula, or several have.
    """
    from proofbell.journal.course.course import formulas_like

    found = formulas_like(summaries, named)
    if len(found) == 1:
        return found[0]
    baked, files = {each.formula for each in summaries}, {**places.house_formulas(), **own_formulas()}
    if named in files:
        of_file = load(formula_bytes(files[named]), str(files[named])).name
        if of_file in baked:
            return of_file
    if not found:
        meant = nearest(named, (*baked, *files))
        near = f"Did you mean {visible(meant)}? " if meant and meant != named else ""
        raise Failure(f"No bake has a formula {visible(named)}.", f"{near}Run proofbell journal to list them.")
    some = ", ".join(visible(name) for name in found[:5])
    raise Failure(f"{len(found)} formulas have {visible(named)} in their name: {some}.", "Give more of the name.")


def _week(args: argparse.Namespace) -> int:
    from proofbell.cli.printed.week_text import markdown, text_lines
    from proofbell.journal.course.week import week, week_json

    now = WallClock().stamp()
    today = local(now.wall_us, now.offset_min).date()
    first = args.first or (args.last - SIX_DAYS if args.last else today - timedelta(days=today.weekday()))
    last = args.last or first + SIX_DAYS
    if last < first:
        raise Failure(f"The span ends on {last}, before it begins on {first}.", "Say --from and --to in this order.")
    with open_journal() as journal:
        found = week(all_bakes(journal), first, last)
    if args.json:
        print_json(week_json(found))
    elif args.markdown:
        print(markdown(found), end="")
    else:
        for line in text_lines(found):
            print(line)
    return 0


READING = (_course, _week)
"""The jobs that do with what can be read of a damaged journal."""
