"""``proofbell journal``: every bake ever made; list, show, export, verify, back up, restore, and what was learned."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from proofbell import places
from proofbell.cli.arguments.journal_find import all_bakes, find, open_journal, query_of, reading_what_can_be_read
from proofbell.cli.of_journal import many_bakes
from proofbell.cli.printed.journal_progress import Progress
from proofbell.cli.printed.journal_text import compare_lines, habit_lines, list_lines, show_lines
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import print_json, remark
from proofbell.errors import Failure
from proofbell.journal.faults import NotAJournal, unreadable
from proofbell.journal.files.disk_words import is_damage, why_not_written
from proofbell.journal.reviews.moments import iso, local
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.reviews.search import search
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible
from proofbell.words import counted

if TYPE_CHECKING:
    from proofbell.journal.recovery.verify import Verdict

EXAMPLE = "proofbell journal export --to bakes.csv"

FORMATS = ("markdown", "csv", "json", "svg")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    _filters(parser)
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")
    parser.set_defaults(job=_list)
    jobs = parser.add_subparsers(title="instead of the list", metavar="WHAT")
    show = _job(jobs, "show", _show, "one bake: planned and actual, readings, changes, the whole log")
    show.add_argument("bake", metavar="ID", help="its name, the beginning or end of it, or a live bake's letter")
    compare = _job(jobs, "compare", _compare, "two bakes side by side, and what differs")
    compare.add_argument("bake", nargs=2, metavar="ID")
    export = _job(jobs, "export", _export, "export bakes as Markdown, CSV, JSON or SVG", as_json=False)
    export.add_argument("bake", nargs="*", metavar="ID", help="the bakes; none: all that the filters leave")
    export.add_argument(
        "--format", choices=(*FORMATS, "table"), help="else by the ending of FILE, or markdown; table: CSV files"
    )
    export.add_argument("--to", type=places.path_to_write, metavar="FILE", help="one file with all of them")
    export.add_argument("--folder", type=places.typed_path, metavar="DIR", help="a file for each, named after the bake")
    export.add_argument("--overwrite", action="store_true", help="replace files that are there")
    _filters(export)
    formula = _job(jobs, "formula", _formula, "the formula of a bake as the file that was opened", as_json=False)
    formula.add_argument("bake", metavar="ID", help="its name, the beginning or end of it, or a live bake's letter")
    to = formula.add_mutually_exclusive_group()
    to.add_argument("--out", metavar="FILE", help="the file to write; - or nothing prints it")
    to.add_argument("--own", action="store_true", help="write it among your own formulas, named after the formula")
    many_bakes.add_jobs(jobs, _job)
    _job(jobs, "verify", _verify, "check the file, the order and the digests of every log")
    backup = _job(jobs, "backup", _backup, "copy the journal and check the copy")
    backup.add_argument(
        "file", nargs="?", type=places.path_to_write, metavar="FILE", help="none: in the folder backups"
    )
    backup.add_argument("--overwrite", action="store_true", help="replace a file that is there")
    backup.add_argument(
        "--as-far-as-it-reads", action="store_true", help="of a damaged journal: all that can be saved, as rescue"
    )
    restore = _job(jobs, "restore", _restore, "bring back what a backup holds; nothing is lost by it")
    restore.add_argument(
        "file", nargs="?", type=places.typed_path, metavar="FILE", help="a backup or rescued journal; none: list them"
    )
    rescue = _job(jobs, "rescue", _rescue, "save what can be read of a damaged journal to a new one")
    rescue.add_argument("file", type=places.path_to_write, metavar="FILE", help="the new journal")
    learned = _job(jobs, "learned", _learned, "what this kitchen does, by the bakes so far")
    learned.add_argument(
        "--formula", metavar="TEXT", help="with one formula, by its name or a part of it", default=argparse.SUPPRESS
    )


def _filters(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--formula", metavar="TEXT", default="", help="formulas with this in their name")
    parser.add_argument("--text", metavar="WORDS", default="", help="every word in the formula's name or the notes")
    parser.add_argument("--since", metavar="DAY", help="begun on or after, such as 2026-03-14 or 2026-03-14T10:00")
    parser.add_argument("--until", metavar="DAY", help="begun before")
    parser.add_argument("--score", metavar="POINTS", help="at least so many points, or from–to such as 4-7")


def _job(
    jobs: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run_job: Callable[[argparse.Namespace], int],
    words: str,
    *,
    as_json: bool = True,
) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = jobs.add_parser(name, help=words, description=words)
    parser.set_defaults(job=run_job)
    if as_json:
        # Suppressed: "journal --json show ID" and "journal show ID --json" mean the same.
        parser.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="one JSON document")
    return parser


def run(args: argparse.Namespace) -> int:
    """Do what was asked. 0: fine; 1: damaged, or it could not be done."""
    job: Callable[[argparse.Namespace], int] = args.job
    try:
        return job(args)
    except NotAJournal as error:
        if job not in _READING:
            remedy = f"{error.remedy}; {_SAVES}" if error.remedy else _SAVES
            raise Failure(error.message, remedy, status=error.status) from error
    except sqlite3.Error as error:
        if not is_damage(error):
            raise Failure(
                f"It could not be done: {why_not_written(error)}.", "Fix that, then try again.", status=1
            ) from error
        if job not in _READING:
            raise Failure(
                f"The journal is damaged: {error}.", f"Keep the file as it is; {_SAVES}.", status=1
            ) from error
    # Nothing was printed yet: what cannot be read shows when the journal is opened or its bakes are looked up.
    with reading_what_can_be_read():
        return max(1, job(args))


_SAVES = "run proofbell journal rescue FILE to save what can be read, or proofbell journal restore to list the backups"


def _list(args: argparse.Namespace) -> int:
    query = query_of(args)
    found: list[Summary] = []
    if places.journal_file().exists():
        with open_journal() as journal:
            found = search(all_bakes(journal), query)
    if args.json:
        print_json({"bakes": [_plain(summary) for summary in found]})
    else:
        _print(list_lines(found))
    return 0


def _plain(summary: Summary) -> dict[str, Any]:
    """A line of the list with its times as ISO 8601."""
    plain = asdict(summary)
    began, ended, offset = plain.pop("began_us"), plain.pop("ended_us"), plain.pop("offset_min")
    del plain["words"], plain["figures"]
    return {
        "bake": plain.pop("bake"),
        "began": iso(local(began, offset)),
        "ended": None if ended is None else iso(local(ended, offset)),
        "size": summary.size,
        **plain,
    }


def _review(journal: Journal, named: str) -> BakeReview:
    bake = find(journal, named)
    events, problems = journal.read(bake)
    if not events:
        raise unreadable(bake, problems)
    return review(events, problems)


def _show(args: argparse.Namespace) -> int:
    with open_journal() as journal:
        looked_at = _review(journal, args.bake)
    if args.json:
        from proofbell.journal.export.export_json import bake_json

        print_json(bake_json(looked_at))
    else:
        _print(show_lines(looked_at))
    return 1 if looked_at.problems else 0


def _compare(args: argparse.Namespace) -> int:
    from proofbell.journal.reviews.compare import compare

    with open_journal() as journal:
        left, right = (_review(journal, named) for named in args.bake)
    comparison = compare(left, right)
    if args.json:
        print_json(
            {
                "left": left.state.id,
                "right": right.state.id,
                "lines": [asdict(line) for line in comparison.lines],
                "sentences": list(comparison.sentences),
            }
        )
    else:
        _print(compare_lines(comparison))
    return 0


def _export(args: argparse.Namespace) -> int:
    from proofbell.cli.of_journal.export import export_bakes

    return export_bakes(args)


def _formula(args: argparse.Namespace) -> int:
    from proofbell.cli.of_journal.formula import take_out

    return take_out(args)


def _verify(args: argparse.Namespace) -> int:
    from proofbell.journal.recovery.verify import verify

    with open_journal() as journal, Progress("checked") as progress:
        verdict = verify(journal, progress.tell)
    if args.json:
        print_json(asdict(verdict))
    elif verdict.problems:
        _print(f"- {visible(problem)}" for problem in verdict.problems)
        print("Keep the file as it is, and compare it with the newest backup.")
    else:
        print(f"All is well: {_held(verdict)}, every digest matches.")
        _print(f"- {visible(line)}: only that can read it whole" for line in verdict.newer)
        _print(f"- {visible(line)}: made again, nothing is lost" for line in verdict.mended)
    return 1 if verdict.problems else 0


def _held(verdict: Verdict) -> str:
    return f"{counted(verdict.bakes, 'bake')}, {counted(verdict.events, 'event')}"


def _backup(args: argparse.Namespace) -> int:
    from proofbell.journal.recovery.backup import back_up

    if args.file is None:
        return _rotate(args)
    file = args.file
    if args.as_far_as_it_reads:
        return _rescue(args)
    with open_journal() as journal, Progress("copied; checked of the copy") as progress:
        verdict = back_up(journal, file, overwrite=args.overwrite, said=progress.tell)
    if args.json:
        print_json({"file": str(file), "bakes": verdict.bakes, "events": verdict.events})
    else:
        print(f"{_held(verdict)} copied to {visible(str(file))} and checked.")
    return 0


def _rotate(args: argparse.Namespace) -> int:
    from proofbell.journal.recovery.rotation import rotate_in_steps
    from proofbell.journal.storage.writer import to_the_end

    say_if_busy(places.journal_file())
    done = to_the_end(rotate_in_steps(places.journal_file()))
    if args.json:
        print_json({"file": str(done.made) if done.made else None, "words": done.words})
    else:
        (remark if done.failed else print)(visible(done.words, most=2000))
    return 1 if done.failed else 0


def _rescue(args: argparse.Namespace) -> int:
    from proofbell.cli.of_journal.rescue import rescue_to

    return rescue_to(args.file, as_document=args.json)


def _restore(args: argparse.Namespace) -> int:
    from proofbell.cli.of_journal.rescue import restore_from

    return restore_from(args.file, as_document=args.json)


def _learned(args: argparse.Namespace) -> int:
    from proofbell.journal.learning.recall import habits
    from proofbell.kitchen.file import load_kitchen

    kitchen = load_kitchen(places.kitchen_file())
    with open_journal() as journal:
        known = habits(journal, kitchen)
    named = known.formula_like(args.formula)
    found = known.all(named)
    if args.json:
        print_json(
            {"kitchen": kitchen.name, "used": kitchen.learn, "formula": named, "habits": [asdict(one) for one in found]}
        )
    else:
        of = f" with {named}" if named else ""
        _print(habit_lines(found, f"What {kitchen.name} does{of}", used=kitchen.learn))
    return 0


_READING = (_list, _show, _compare, _export, _formula, *many_bakes.READING)
"""The jobs that do with what can be read of a damaged journal."""


def _print(lines: Iterable[str]) -> None:
    for line in lines:
        print(line)
