"""``proofbell guide``: short pages on baking with Proofbell; the same files that can be read beside the source."""

from __future__ import annotations

import argparse
import re
from collections.abc import Set as AbstractSet

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


_SMALL = re.compile(
    r"(?:an?|and|are|can|do(?:es)?|for|from|have|how|in?|is|its?|my|no|not|of|on|or|[st]|the|that|this|to|too|was|what"
    r"|when|where|which|why|with)"
)
"""Words of a question that say nothing of what it is about."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "topic", nargs="*", metavar="TOPIC", help="which page, or a question; without it they are listed"
    )


def run(args: argparse.Namespace) -> int:
    asked = " ".join(args.topic)
    if not asked:
        print(contents())
        return 0
    topic = found(asked)
    if topic is None:
        said = visible(asked, most=80)
        raise Failure(f"The guide has no page about {said}.", f"The pages are: {', '.join(TOPICS)}.")
    if topic != asked:
        remark(f"The guide has no page {visible(asked, most=80)}; the nearest is {topic}.\n")
    print(page(topic), end="")
    return 0


def page(topic: str) -> str:
    return places.guide_page(topic).read_text(encoding="utf-8")


def contents() -> str:
    """Every topic with the title of its page, one a line."""
    titles = [(topic, page(topic).split("\n", 1)[0].removeprefix("# ")) for topic in TOPICS]
    return "\n".join(f"proofbell guide {topic:<13} {title}" for topic, title in titles)


def found(asked: str) -> str | None:
    """The topic that a word names or begins; else the page that answers a question best; else the nearest; or None."""
    wanted = asked.strip().casefold()
    begun = [topic for topic in TOPICS if wanted and topic.startswith(wanted)]
    if begun or not wanted:
        return begun[0] if begun else None
    words = {word for word in re.findall(r"\w+", wanted) if not _SMALL.fullmatch(word)}
    scores = {topic: _answers(page(topic).casefold(), words) for topic in TOPICS}
    most = max(TOPICS, key=lambda topic: scores[topic])
    return most if any(scores[most]) else nearest(wanted, TOPICS)


def _answers(text: str, words: AbstractSet[str]) -> tuple[int, int, int]:
    """How well a page answers: words together in one line, such lines that stand out, lines with any."""
    lines = [(line, len(words & set(re.findall(r"\w+", line)))) for line in text.splitlines()]
    most = max(count for _, count in lines)
    standing_out = sum(line.startswith(("#", "|", "**")) for line, count in lines if count == most > 0)
    return most, standing_out, sum(count > 0 for _, count in lines)
