"""Two bakes side by side: what differs is marked, what is large stands out and is said in a sentence."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.events import Body
from proofbell.formula.model import Formula, Ingredient, Stage
from proofbell.journal.reviews.compare import Comparison, compare
from proofbell.journal.reviews.review import BakeReview, review
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import KNOTS, chain, opened


def proofed(bake: str, minutes: float, dough_c: float, formula: Formula = KNOTS, score: int = 7) -> BakeReview:
    end_s = 540.0 + minutes * 60
    bodies: list[tuple[float, Body]] = [
        (0.0, opened(formula)),
        (0.0, kinds.StageBegun(0)),
        (540.0, kinds.StageEnded(0)),
        (540.0, kinds.StageBegun(1)),
        (540.0, kinds.ReadingTaken("dough temperature", dough_c, f"{dough_c}", stage=1, check=0)),
        (end_s, kinds.StageEnded(1)),
        (end_s, kinds.ScoreGiven("crumb", score)),
    ]
    return review(chain(bake, bodies))


def line(comparison: Comparison, group: str, what: str) -> tuple[str, str, bool, bool]:
    found = next(one for one in comparison.lines if (one.group, one.what) == (group, what))
    return found.left, found.right, found.differs, found.large


def test_a_shorter_and_warmer_proof_is_said_in_one_sentence() -> None:
    found = compare(proofed("one", 70.0, 25.0), proofed("two", 58.0, 26.8))
    assert "First proof 12 min shorter at 1.8 °C warmer" in found.sentences
    assert line(found, "times", "First proof") == (
        "1 h 10 min (planned 1 h 10 min)",
        "58 min (planned 1 h 10 min)",
        True,
        True,
    )
    assert line(found, "temperatures", "dough") == ("25.0 °C", "26.8 °C", True, True)


def test_a_bake_against_itself_has_no_difference() -> None:
    one = review(simulated_bakes(1, Truth(), 1)[0].events)
    found = compare(one, one)
    assert found.sentences == ()
    assert not any(each.differs or each.large for each in found.lines)
    assert len(found.lines) > 15


def test_small_differences_are_marked_but_do_not_stand_out() -> None:
    found = compare(proofed("one", 70.0, 25.0), proofed("two", 72.0, 25.3))
    assert line(found, "times", "First proof")[2:] == (True, False)
    assert line(found, "temperatures", "dough")[2:] == (True, False)
    assert found.sentences == ()


def test_formulas_are_compared_ingredient_by_ingredient() -> None:
    richer = replace(
        KNOTS,
        name="Rich knots",
        digest="0123",
        ingredients=(
            *(replace(i, percent=25.0) if i.name == "butter" else i for i in KNOTS.ingredients if i.name != "salt"),
            Ingredient("cardamom", 0.8, "other"),
        ),
    )
    found = compare(proofed("one", 70.0, 25.0), proofed("two", 70.0, 25.0, richer))
    assert line(found, "formula", "butter") == ("15 %", "25 %", True, True)
    assert line(found, "formula", "salt") == ("1.8 %", "–", True, True)
    assert line(found, "formula", "strong white flour")[2:] == (False, False)
    assert "butter 25 % of the flour rather than 15 %" in found.sentences
    assert "cardamom 0.8 %, which the first does not have" in found.sentences
    assert "no salt, of which the first has 1.8 %" in found.sentences


def test_stages_of_other_names_are_paired_by_kind_and_the_rest_stands_alone() -> None:
    other = replace(
        KNOTS,
        stages=(
            Stage("Mix", "hands", 540.0),
            Stage("Bulk", "proof", 4200.0),
            Stage("Overnight", "chill", 40_000.0),
            Stage("Bake", "bake", 960.0),
        ),
    )
    found = compare(proofed("one", 70.0, 25.0), proofed("two", 100.0, 25.0, other))
    assert line(found, "times", "First proof")[1].startswith("1 h 40 min")
    assert "First proof 30 min longer" in found.sentences
    assert "with Overnight" in found.sentences
    assert "without Cool" in found.sentences
    times = [one.what for one in found.lines if one.group == "times"]
    assert len(times) == len(set(times))


def test_one_point_is_one_point_and_times_have_a_brief_form() -> None:
    found = compare(proofed("one", 70.0, 25.0, score=7), proofed("two", 58.0, 25.0, score=8))
    assert "score 1 point better" in found.sentences
    proof = next(line for line in found.lines if line.what == "First proof")
    assert proof.brief == ("1 h 10 min", "58 min")


def test_results_are_said_as_better_and_worse() -> None:
    found = compare(proofed("one", 70.0, 25.0, score=4), proofed("two", 70.0, 25.0, score=8))
    assert "crumb 4 points better" in found.sentences
    assert "score 4 points better" in found.sentences
    back = compare(proofed("one", 70.0, 25.0, score=8), proofed("two", 70.0, 25.0, score=4))
    assert "crumb 4 points worse" in back.sentences


def test_an_unfinished_bake_can_stand_beside_a_whole_one() -> None:
    whole = review(simulated_bakes(1, Truth(), 1)[0].events)
    begun = review(simulated_bakes(2, Truth(), 1)[0].events[:3])
    for found in (compare(whole, begun), compare(begun, whole)):
        assert {one.group for one in found.lines} == {"formula", "batch", "temperatures", "times", "results"}
        assert any("rather than" in sentence for sentence in found.sentences)
