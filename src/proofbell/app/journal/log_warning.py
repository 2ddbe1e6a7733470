"""The line on top of a page that says why a bake's log cannot be read to its end."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.content import outside
from proofbell.journal.reviews.review import BakeReview


class LogWarning(Static):
    """There only while there is something to say."""

    DEFAULT_CSS = """
    LogWarning { display: none; height: auto; max-height: 4; padding: 0 1; color: $text-warning; text-style: bold; }
    LogWarning.-shown { display: block; }
    """

    def show(self, *reviews: BakeReview, named: bool = False) -> None:
        """Say it for each of these bakes; ``named``: which one it is of."""
        words = [
            outside(f"! {f'{review.state.id}: ' if named else ''}{problem.sentence}", most=500)
            for review in reviews
            for problem in review.problems
        ]
        self.set_class(bool(words), "-shown")
        self.update(Content("\n").join(words))
