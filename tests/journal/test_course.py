"""A formula over all its bakes: a year of which it is known what happened in it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from proofbell.bake.fold import fold
from proofbell.bake.intents import Read
from proofbell.cli import main
from proofbell.cli.printed.course_text import text_lines
from proofbell.journal.course.course import Course, course, formulas_like
from proofbell.journal.course.course_svg import course_svg
from proofbell.journal.course.course_words import findings
from proofbell.journal.course.months import months
from proofbell.journal.reviews.figures import figures, figures_from, kept_figures
from proofbell.journal.reviews.moments import local
from proofbell.journal.reviews.summary import Summary
from tests.journal.generate import Truth, simulated_bakes
from tests.support.walking import KNOTS, at, done, later, read
from tests.support.year import GIVEN_UP, HOT_DAY, READS_HIGH, REPAIRED, fill_year, summaries, with_note, year

NAME = "Harbour knots"
Out = pytest.CaptureFixture[str]
Said = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def made() -> Course:
    return course(NAME, summaries())


@pytest.fixture(scope="module")
def journal_of_the_year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("year") / "journal.sqlite"
    fill_year(path)
    return path


def day(made: Course, number: int) -> str:
    summary = made.bakes[number].summary
    return f"{local(summary.began_us, summary.offset_min):%Y-%m-%d}"


def test_the_repair_of_the_oven_begins_limits_of_its_own(made: Course) -> None:
    before, after = made.stretches
    assert (before.changed, after.changed) == ((), ("oven",))
    assert day(made, after.first) == str(REPAIRED)
    bake_s = made.series["bake_s"]
    assert [len(part.bakes) for part in bake_s] == [before.last + 1, len(made.bakes) - after.first]
    limits = [part.limits for part in bake_s]
    assert limits[0] is not None
    assert limits[1] is not None
    assert limits[1].mean == pytest.approx(960, abs=20)
    assert limits[1].mean < limits[0].mean


def test_the_probe_that_began_to_read_high_is_told_with_when_and_by_how_much(made: Course) -> None:
    (apart,) = made.read_apart
    assert str(READS_HIGH) <= day(made, apart.first) <= "2025-06-20"
    assert apart.core_k == pytest.approx(1.5, abs=0.4)
    assert apart.dough_k == pytest.approx(1.5, abs=0.5)
    told = "\n".join(text_lines(made))
    assert "12 Sep 2025: oven changed" in told
    assert "a new element" in told
    assert "dough and core both read warmer" in told


def test_the_printed_course_draws_each_measure_and_marks_what_its_words_name(made: Course) -> None:
    lines = [*text_lines(made)]
    assert all(len(line) <= 80 for line in lines)
    top = next(n for n, line in enumerate(lines) if line.startswith("Proof against plan"))
    chart = lines[top : next(n for n, line in enumerate(lines) if n > top and "bakes: mean" in line)]
    outside = [one for one in findings(made, "proof_over_plan_s") if "outside" in one.words]
    assert sum(line.count("◆") for line in chart) == len(outside)
    assert sum(line.count("─") for line in chart) > 40
    assert any(line.startswith("● a bake") for line in lines)
    two = course(NAME, sorted(summaries(), key=lambda each: each.began_us)[:2])
    assert not any("●" in line for line in text_lines(two))


def test_a_point_outside_says_its_bakes_own_reason(made: Course) -> None:
    hot = next(
        one for one in findings(made, "kneaded_c") if day(made, one.first) == str(HOT_DAY) == day(made, one.last)
    )
    assert "outside the limits" in hot.words
    assert "room 29.5 °C" in hot.words
    assert "the milk stood out" in hot.words
    late = [one.words for one in findings(made, "proof_over_plan_s") if "outside" in one.words]
    assert any("oven 30 min late" in words for words in late)


def test_what_was_given_up_is_left_out_and_counted(made: Course) -> None:
    assert made.left_out == 1
    assert str(GIVEN_UP) not in {day(made, number) for number in range(len(made.bakes))}
    marked = [replace(each, typical=False) if number < 3 else each for number, each in enumerate(summaries())]
    assert course(NAME, marked).left_out == 4


@pytest.mark.parametrize(("what", "value"), [("formula_mark", "x"), ("probe", (-1.5, 1.0)), ("kitchen", "Boathouse")])
def test_another_formula_text_probe_or_kitchen_begins_anew(what: str, value: object) -> None:
    def changed(summary: Summary) -> Summary:
        (found,) = figures_from([summary.figures])
        assert found is not None
        return replace(summary, figures=kept_figures(found._replace(**{what: value})))  # type: ignore[arg-type]

    listed = sorted(summaries(), key=lambda each: each.began_us)[:30]
    made = course(NAME, [*listed[:20], *map(changed, listed[20:])])
    assert [(one.first, one.last) for one in made.stretches] == [(0, 19), (20, len(made.bakes) - 1)]
    assert made.stretches[1].changed == (what.removesuffix("_mark"),)


def test_fewer_than_eight_bakes_have_neither_limits_nor_marks() -> None:
    few = course(NAME, sorted(summaries(), key=lambda each: each.began_us)[:7])
    assert len(few.bakes) == 7
    assert all(part.limits is None and not part.runs and not part.outside for p in few.series.values() for part in p)
    assert "too few" in "\n".join(text_lines(few))


def test_figures_are_what_the_log_says() -> None:
    state = simulated_bakes(7, Truth(), 1)[0]
    found = figures(state)
    stages = state.stages
    first = next(r.value for r in state.readings if r.what == "dough temperature")
    assert found.kneaded_c == first
    assert found.bake_s == pytest.approx((stages[4].ended_s or 0) - (stages[4].begun_s or 0))
    assert found.hands_s == pytest.approx(sum((stages[i].ended_s or 0) - (stages[i].begun_s or 0) for i in (0, 2)))
    ((on_us, off_us),) = found.ovens_us
    assert found.bake_s is not None
    assert (off_us - on_us) / 1e6 > found.bake_s
    assert figures_from([kept_figures(found), "", "[1]", "nonsense"]) == [found, None, None, None]


@pytest.mark.parametrize("spoilt", ["[]", "{}", "[[]]", '"x"', "[NaN]", "[" * 40])
def test_figures_that_were_never_kept_so_are_none(spoilt: str) -> None:
    assert figures_from([spoilt]) == [None]


def test_a_preferments_temperature_is_not_the_doughs() -> None:
    events = next(iter(year()))
    state = fold(events)
    stages = tuple(replace(stage, made_for="poolish") for stage in state.formula.stages)
    assert figures(state).kneaded_c is not None
    assert figures(replace(state, formula=replace(state.formula, stages=stages))).kneaded_c is None


def test_a_formula_is_found_by_its_name_or_a_part_of_it() -> None:
    listed = [replace(summaries()[0], formula=name) for name in ("Rye", "Rye of the night", "Rye of the night")]
    assert formulas_like(listed, "rye") == ["Rye"]
    assert formulas_like(listed, "NIGHT") == ["Rye of the night"]
    assert formulas_like(listed, "y") == ["Rye of the night", "Rye"]
    assert formulas_like(listed, "spelt") == []


@pytest.fixture
def said(journal_of_the_year: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out) -> Said:
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(journal_of_the_year))

    def run(*words: str) -> tuple[int, str, str]:
        status = main(["journal", "course", *words])
        told = capsys.readouterr()
        return status, told.out, told.err

    return run


def test_the_document_names_bakes_and_numbers(said: Said, made: Course) -> None:
    document = json.loads(said("knots", "--json")[1])
    assert document["schema"] == 1
    assert document["formula"] == NAME
    assert len(document["bakes"]) == len(made.bakes)
    assert document["stretches"][1]["changed"] == ["oven"]
    dough = document["stretches"][0]["measures"]["kneaded_c"]
    limits = made.series["kneaded_c"][0].limits
    assert limits is not None
    assert (dough["mean"], dough["lower"], dough["upper"]) == pytest.approx((limits.mean, limits.lower, limits.upper))
    assert f"{HOT_DAY}-harbour-knots" in dough["outside"]
    assert document["read_apart"][0]["dough_k"] > 1


def test_a_file_is_written_by_its_ending_and_never_replaced_unasked(said: Said, tmp_path: Path) -> None:
    for name, option in (("a.svg", "--to"), ("picture", "--svg"), ("a.json", "--to"), ("a.txt", "--to")):
        assert said("knots", option, str(tmp_path / name))[0] == 0
    assert ET.fromstring((tmp_path / "a.svg").read_text()).tag.endswith("svg")  # noqa: S314 - our own
    assert (tmp_path / "picture").read_text() == (tmp_path / "a.svg").read_text()
    assert json.loads((tmp_path / "a.json").read_text())["schema"] == 1
    assert (tmp_path / "a.txt").read_text().startswith(NAME)
    status, _, err = said("knots", "--to", str(tmp_path / "a.txt"))
    assert status != 0
    assert "already there" in err
    assert said("knots", "--to", str(tmp_path / "a.txt"), "--overwrite")[0] == 0
    assert said("knots", "--to", str(tmp_path / "a.pdf"))[0] == 2


def test_a_formula_that_nobody_baked_is_refused(said: Said) -> None:
    status, out, err = said("spelt")
    assert (status, out) == (2, "")
    assert "No bake has a formula spelt" in err


def test_the_short_name_of_a_file_means_its_formula(said: Said) -> None:
    assert said("harbour-knots")[1].startswith(NAME)
    assert "No bake has a formula lantern-pittas" in said("lantern-pittas")[2]
    assert "Did you mean Harbour knots?" in said("Harbor knots")[2]


def test_the_picture_marks_what_is_marked_and_takes_any_text(made: Course) -> None:
    svg = ET.fromstring(course_svg(made))  # noqa: S314 - our own
    shapes = [element for element in svg if element.tag.endswith(("circle", "polygon"))]
    assert len(shapes) == sum(len(part.bakes) for parts in made.series.values() for part in parts)
    hostile = "</text><script>\x1b]0;x\x07 & \u202e"
    bad = [replace(each, formula=hostile, figures=with_note(each.figures, hostile)) for each in summaries()]
    text = course_svg(course(hostile, bad))
    assert "<script" not in text
    assert "\x1b" not in text
    assert ET.fromstring(text) is not None  # noqa: S314 - our own
    assert "\x1b" not in "".join(text_lines(course(hostile, bad)))
    assert ET.fromstring(course_svg(course("never", []))) is not None  # noqa: S314 - our own


def test_months_are_few_and_name_each_new_year() -> None:
    begin_us, end_us = 1_735_900_000_000_000, 1_767_000_000_000_000  # 3 Jan to 29 Dec 2025
    assert [words for _, words in months(begin_us, end_us, most=13)][:3] == ["Feb 2025", "Mar", "Apr"]
    assert len(months(begin_us, end_us + 10 * 31_557_600_000_000, most=5)) <= 6


def test_the_core_of_a_bake_is_what_it_read_in_the_oven() -> None:
    baking = read(at(KNOTS, "Bake", minutes=16), 91.0, what="core temperature")
    done(baking)
    read(later(baking, 20), 48.0, what="core temperature")
    assert figures(baking.state).core_c == 91.0
    raw = at(KNOTS, "Divide and tie")
    assert "No core is read in Divide and tie" in raw.refused(Read("core temperature", "91", 91.0)).message
