"""How fast the program is: one table, each figure beside a bare yardstick that was measured by turns with it.

    python -m tests.benchmarks.speed [--runs N] [--bakes N] [--only WORD]

It takes some eight minutes, with ``--runs 2 --bakes 500`` three. Nothing else should run meanwhile; what does is told
by the load above the table. "times" compares processor time where there is any: other programs disturb it least.
"""

from __future__ import annotations

import argparse
import compileall
import os
import platform
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from contextlib import redirect_stdout
from importlib.metadata import version
from pathlib import Path

import proofbell
from tests.benchmarks.speed import alarm, bench, dough, planner, processes, store
from tests.benchmarks.speed.bare import PASS, argparse_with
from tests.benchmarks.speed.figures import Figure, table
from tests.benchmarks.speed.kitchen import journal
from tests.benchmarks.speed.processes import ours
from tests.support.terminal import environment

FORMULAS = (
    *("harbour-knots", "quay-pan-loaf", "breakwater-flatbread", "ropewalk-wholemeal", "pilots-milk-buns"),
    *("lantern-pittas", "boathook-baguettes", "mooring-plait", "regatta-brioche", "lamplighter-loaf"),
    *("coaling-pier-rye", "tidemark-sourdough"),
)
PASS_IS, TOML_IS = "python -c pass", "a bare argparse program with tomli"


def machine() -> str:
    """Where and with what it was measured."""
    cpu = next((line.split(":")[1].strip() for line in _lines("/proc/cpuinfo") if line.startswith("model name")), "")
    libraries = ", ".join(f"{name} {version(name)}" for name in ("proofbell", "textual", "rich"))
    load = " ".join(f"{load:.1f}" for load in os.getloadavg())
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} × {cpu or 'an unnamed processor'}; "
        f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {libraries}; load {load}"
    )


def _lines(path: str) -> list[str]:
    return Path(path).read_text().splitlines() if Path(path).exists() else []


def commands(folder: Path, runs: int) -> list[Figure]:
    """Whole processes of the commands that print."""
    told = {"--version": ("--version",), "--help": ("--help",), "status, 3 live": ("status",)}
    rows = [(Figure(name, PASS_IS), ours(*words), PASS) for name, words in told.items()]
    asked = {
        "check": ("check", FORMULAS[0]),
        "weigh --json": ("weigh", FORMULAS[0], "--json"),
        "read": ("read", "21.5", "--what", "room temperature", "--bake", "A"),
        "journal": ("journal",),
    }
    with_toml = argparse_with("tomli")
    rows += [(Figure(name, TOML_IS), ours(*words), with_toml) for name, words in asked.items()]
    rows.append((Figure(TOML_IS, PASS_IS), with_toml, PASS))
    rows.append((Figure("the same, with pint", PASS_IS), argparse_with("tomli", "pint"), PASS))
    processes.by_turns(rows, environment(folder), runs)
    return [figure for figure, _, _ in rows]


def plans(folder: Path, runs: int) -> list[Figure]:
    """Whole processes of the plan; everything is wanted at one time."""
    rows = [
        (Figure(f"plan, {count} doughs", PASS_IS), ours("plan", *FORMULAS[:count], "--ready", "Sat 12:00"), PASS)
        for count in (2, 5, 12)
    ]
    processes.by_turns(rows, environment(folder), runs)
    return [figure for figure, _, _ in rows]


def main() -> None:
    """Measure, and print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=6, help="runs of each figure")
    parser.add_argument("--bakes", type=int, default=10_000, help="bakes in the large journal")
    parser.add_argument("--only", default="", help="the beginning of a part's name, such as start, idle or journal")
    options = parser.parse_args()
    runs, bakes = options.runs, options.bakes
    for folder in (Path(proofbell.__file__).parent, Path(__file__).parent):
        with redirect_stdout(sys.stderr):
            compileall.compile_dir(folder, quiet=1)
    figures: list[Figure] = []
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        folders = {live: journal(home / str(live), live).parent for live in (1, 3, 12)}
        many, few = journal(home / "many", 12, bakes), journal(home / "few", 12, 10)
        started = Figure("start to the first whole picture, 3 live", bench.BARE_TAKES)
        started_many = Figure(f"start to the first whole picture, 12 live, {bakes:,} bakes", bench.BARE_TAKES)

        def idle() -> list[Figure]:
            at_rest, memory = bench.idle({live: folders[live] for live in (1, 12)}, 2 * runs)
            return [*at_rest, *memory]

        def starts() -> list[Figure]:
            bench.starts(started, folders[3], 3, runs)
            bench.starts(started_many, many.parent, 12, runs)
            return [started, started_many]

        parts: dict[str, Callable[[], list[Figure]]] = {
            "start": starts,
            "idle": idle,
            "keys": lambda: bench.keys(many.parent, 12, runs),
            "commands": lambda: commands(folders[3], runs),
            "plans": lambda: plans(folders[1], max(2, runs // 3)),
            "dough": lambda: dough.answers(5 * runs),
            "alarm": lambda: alarm.bells(journal(home / "bells", 3), runs),
            "planner": lambda: planner.growth(runs),
            "journal": lambda: [*store.openings(few, many, bakes, runs), *store.decisions(few, runs)],
            "all bakes": lambda: store.many(many, bakes, runs),
        }
        for part, measured in parts.items():
            if part.startswith(options.only):
                print(f"{part} …", file=sys.stderr)
                figures += measured()
    print(machine() + "\n")
    print(table(figures))


if __name__ == "__main__":
    main()
