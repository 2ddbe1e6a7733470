"""``proofbell guide``: short pages on baking with Proofbell; the same files that can be read beside the source."""

from __future__ import annotations

import argparse

from proofbell import places
from proofbell.cli.arguments.known import nearest
from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.visible import visible

EXAMPLE = "proofbell guide first-bake"

TOPICS = (
    *("first-bake", "own-formula", "plan", "cold-nights", "sourdough", "probes", "bell", "second-screen"),
    *("keys", "kitchen", "many-bakes", "json", "model", "trouble", "questions"),
)
"""In the order of the list; each is a file of the folder ``guide``."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("topic", nargs="?", metavar="TOPIC", help="which page; without it they are listed")


def run(args: argparse.Namespace) -> int:
    if args.topic is None:
        print(contents())
        return 0
    topic = found(args.topic)
    if topic is None:
        said = visible(args.topic, most=80)
        raise Failure(f"The guide has no page about {said}.", f"The pages are: {', '.join(TOPICS)}.")
    if topic != args.topic:
        remark(f"The guide has no page {visible(args.topic, most=80)}; the nearest is {topic}.\n")
    print(page(topic), end="")
    return 0


def page(topic: str) -> str:
    return places.guide_page(topic).read_text(encoding="utf-8")


def contents() -> str:
    """Every topic with the title of its page, one a line."""
    titles = [(topic, page(topic).split("\n", 1)[0].removeprefix("# ")) for topic in TOPICS]
    return "\n".join(f"proofbell guide {topic:<13} {title}" for topic, title in titles)


def found(word: str) -> str | None:
    """The topic that a word names or begins; else the page that has it most often; else the nearest; None without."""
    wanted = word.strip().casefold()
    begun = [topic for topic in TOPICS if wanted and topic.startswith(wanted)]
    if begun or not wanted:
        return begun[0] if begun else None
    counts = {topic: page(topic).casefold().count(wanted) for topic in TOPICS}
    most = max(TOPICS, key=lambda topic: counts[topic])
    return most if counts[most] else nearest(wanted, TOPICS)
