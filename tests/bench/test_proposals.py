"""What a new plan moves is said in one line, and what only the baker can give is asked."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import By
from proofbell.bake.fermenting.forgiven import by_its_reading
from proofbell.bake.intents import Refused
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.bench.plan.proposals import Proposal, as_of, moved, proposals, still_open
from proofbell.bench.plan.timetable import BakeTimes, Line, Timetable, timetable
from proofbell.formula.model import ChillInstead, Stage, StageKind
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.baking import formula
from tests.support.decided import KITCHEN, TO_FINAL_PROOF, at, bake

MINUTE_US = 60_000_000


def line(name: str, kind: str, begins_min: int, ends_min: int) -> Line:
    seconds = (ends_min - begins_min) * 60
    return Line("B", name, kind, begins_min * MINUTE_US, ends_min * MINUTE_US, seconds, seconds, seconds, past=False)


def day(*lines: Line) -> Timetable:
    return Timetable((BakeTimes("B", "Loaf", lines, None),), ())


def test_a_later_oven_is_said_with_its_new_moment() -> None:
    before = day(line("Final proof", "proof", 0, 60), line("Bake", "bake", 60, 95))
    after = day(line("Final proof", "proof", 0, 68), line("Bake", "bake", 68, 103))

    (one,) = moved(before, after)

    assert one.words("11:02") == "B: oven 8 min later, at 11:02"
    assert one.at_us == 68 * MINUTE_US


def test_without_an_oven_ahead_the_next_stage_is_named() -> None:
    before = day(line("Divide", "hands", 10, 20), line("Final proof", "proof", 20, 60))
    after = day(line("Divide", "hands", 5, 15), line("Final proof", "proof", 15, 55))

    (one,) = moved(before, after)

    assert one.words("10:05") == "B: divide 5 min earlier, at 10:05"


@pytest.mark.parametrize("seconds", [0, 59, -59])
def test_less_than_a_minute_is_not_worth_saying(seconds: int) -> None:
    before = day(line("Bake", "bake", 60, 95))
    (old,) = before.bakes[0].lines
    shifted = Line(
        "B", "Bake", "bake", old.begins_us + seconds * 1_000_000, old.ends_us, 0, 0, 0, past=False
    )  # fmt: skip

    assert moved(before, day(shifted)) == ()


def test_two_doughs_that_want_one_oven_at_once_are_kept_apart_by_a_question() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000

    table = timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us)
    asked = proposals(states, table, origin_us)

    # Both proofs are due at 9360 s and each bake holds the only oven place for 14 to 20 minutes: one has to give way.
    assert asked
    assert {one.name for one in asked} <= {"Final proof", "Bake"}
    first_out, second_in = sorted((bake_.lines[5] for bake_ in table.bakes), key=lambda one: one.begins_us)
    assert first_out.ends_us <= second_in.begins_us


def test_yes_to_a_question_makes_the_bake_as_the_plan_has_it() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000
    table = timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us)
    asked = proposals(states, table, origin_us)[0]
    assert asked.stage is not None

    state = next(one for one in states if one.id == asked.bake)
    decision = decide(state, intents.Accept(asked.stage, asked.to_s, asked.reason), at(6401))
    assert not isinstance(decision, Refused)

    after = decided(state, decision)
    assert after.stages[asked.stage].length_s == asked.to_s
    assert not [one for one in proposals([after], table, origin_us) if one.stage == asked.stage]


TO_FIRST_PROOF = TO_FINAL_PROOF[:3]


def test_what_comes_later_is_not_asked_about_yet() -> None:
    states = [bake("A", "harbour-knots", *TO_FIRST_PROOF), bake("B", "harbour-knots", *TO_FIRST_PROOF)]
    origin_us = 1000 * 1_000_000
    at_once = timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us)

    asked = proposals(states, at_once, origin_us)

    assert asked
    assert {one.stage for one in asked} == {2}, "only the first proof runs"


def test_what_the_baker_has_said_of_a_stage_is_not_asked_about_again() -> None:
    said = (*TO_FINAL_PROOF, (6380.0, intents.Longer(60)))
    states = [bake("A", "harbour-knots", *said), bake("B", "harbour-knots", *said)]
    origin_us = 6400 * 1_000_000

    problem = problem_of([], KITCHEN, origin_us, states)

    assert all(chain.steps[4].least_s == 51 * 60 for chain in problem.chains)
    assert proposals(states, timetable(plan(problem), origin_us), origin_us) == ()


def test_a_no_settles_a_stage() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000
    settled = {("A-bake", 4)}

    problem = problem_of([], KITCHEN, origin_us, states, settled)
    asked = proposals(states, timetable(plan(problem), origin_us), origin_us, settled)

    assert [chain.steps[4].least_s for chain in problem.chains] == [50 * 60, 36 * 60]
    assert [one.letter for one in asked] == ["B"]


def waiting(start_in_s: float) -> BakeState:
    formula = house("harbour-knots")
    opening = intents.Open("D", "D", formula, weigh_out(formula, KITCHEN).batch, KITCHEN, "test", start_in_s=start_in_s)
    decision = decide(None, opening, at(0))
    assert not isinstance(decision, Refused)
    return decided(None, decision)


@pytest.mark.parametrize(("start_min", "asked"), [(10, True), (20, True), (40, False)])
def test_a_start_is_asked_about_when_it_is_near_and_on_a_whole_minute(start_min: int, *, asked: bool) -> None:
    state = waiting(start_min * 60)
    begins_us = (start_min + 30) * MINUTE_US + 35_000_000
    lines = tuple(
        Line("D", stage.name, stage.kind, begins_us, begins_us + 60, 1, 1, 1, past=False)
        for stage in state.formula.stages
    )

    found = proposals([state], Timetable((BakeTimes("D", "Knots", lines, None),), ()), 0)

    assert [one.words for one in found] == (["Begin D 31 min later?"] if asked else [])
    assert [one.to_s % 60 for one in found] == ([0] if asked else [])


def test_a_question_falls_away_with_its_stage() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000
    asked = proposals(states, timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us), origin_us)[0]

    assert still_open(asked, states, origin_us)
    over = bake(asked.letter, "harbour-knots", *TO_FINAL_PROOF, (9400.0, intents.Done()))
    assert not still_open(asked, [over], origin_us)
    longer = bake(asked.letter, "harbour-knots", *TO_FINAL_PROOF, (6500.0, intents.Longer(300)))
    assert not still_open(asked, [longer], origin_us)
    assert not still_open(asked, [], origin_us)


def test_a_dough_alone_is_asked_nothing() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000

    table = timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us)

    assert proposals(states, table, origin_us) == ()


def test_a_dough_is_asked_for_no_more_than_it_forgives() -> None:
    """The final proof of the knots is 50 min and forgives 70, or 72 in a room of 21 °C.

    An oven that is free in 90 min makes it no longer.
    """
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    table = timetable(plan(problem_of([], KITCHEN, 6400 * 1_000_000, [state])), 6400 * 1_000_000)
    (times,) = table.bakes
    proof = times.lines[4]
    held = (*times.lines[:4], replace(proof, ends_us=proof.begins_us + 90 * MINUTE_US), *times.lines[5:])

    (asked,) = proposals([state], replace(table, bakes=(replace(times, lines=held),)), 6400 * 1_000_000)

    assert (asked.stage, asked.to_s) == (4, 72 * 60)


def before_the_night() -> tuple[BakeState, Timetable]:
    """Knots whose final proof may stand in the cold, being tied; a night begins 14 min after that is done."""
    formula = house("harbour-knots")
    stages = [
        replace(stage, chill_instead=ChillInstead(4.0, 8 * 3600.0, 16 * 3600.0))
        if stage.name == "Final proof"
        else stage
        for stage in formula.stages
    ]
    formula = replace(formula, stages=tuple(stages))
    opening = intents.Open("b", "B", formula, weigh_out(formula, KITCHEN).batch, KITCHEN, "test")
    state: BakeState | None = None
    for seconds, intent in ((0.0, opening), *TO_FINAL_PROOF[:4]):
        decision = decide(state, intent, at(seconds))
        assert not isinstance(decision, Refused), decision
        state = decided(state, decision)
    assert state is not None
    night = ((7_200_000_000, 36_000_000_000),)
    problem = problem_of((), KITCHEN, 5_400_000_000, [state], quiet=night)
    return state, timetable(plan(problem, 40), 5_400_000_000)


def test_a_proof_that_the_plan_has_in_the_cold_over_night_is_asked_for_before_it_begins() -> None:
    state, table = before_the_night()

    (one,) = proposals([state], table, 5_400_000_000)

    assert (one.stage, one.place_c) == (4, 4.0)
    assert one.short == "B: final proof in the cold?"
    assert one.to_s >= 8 * 3600
    assert still_open(one, [state], 5_400_000_000)
    decision = decide(state, intents.Accept(4, one.to_s, one.reason, one.place_c), at(5500))
    assert not isinstance(decision, Refused)
    agreed = decided(state, decision)
    assert not still_open(one, [agreed], 5_500_000_000)
    assert proposals([agreed], table, 5_500_000_000) == ()
    (chain,) = problem_of((), KITCHEN, 5_500_000_000, [agreed]).chains
    assert (chain.steps[4].nominal_s, chain.steps[4].instead) == (one.to_s, None)


def clock(at_us: int) -> str:
    return f"{at_us // MINUTE_US // 60:02}:{at_us // MINUTE_US % 60:02}"


def test_a_question_names_the_dough_that_it_makes_way_for_and_its_reason_stays_in_the_log() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "harbour-knots", *TO_FINAL_PROOF)]
    origin_us = 6400 * 1_000_000
    table = timetable(plan(problem_of([], KITCHEN, origin_us, states)), origin_us)

    asked = proposals(states, table, origin_us, clock=clock)

    assert asked
    for one in asked:
        other = next(each for each in table.bakes if each.letter != one.letter)
        longer = one.to_s > one.from_s
        at_us = other.lines[5].ends_us if longer else other.lines[5].begins_us
        assert one.because == f"{other.letter} has the oven {'until' if longer else 'from'} {clock(at_us)}"
        assert one.asked[0] == f"{one.words} {one.because}."
        assert one.reason.endswith(f": {one.because}.")


@pytest.mark.parametrize(("kind", "by_min", "quiet", "asked"), [
    ("chill", 14, (), []), ("chill", 15, (), [""]), ("rest", -14, (), []), ("proof", 14, (), [""]),
    ("chill", 14, ((60 * MINUTE_US, 71 * MINUTE_US),), ["nobody works until 01:11"]),
])  # fmt: skip
def test_a_rest_or_a_stage_in_the_cold_is_not_asked_about_for_minutes_that_its_dough_forgives(
    kind: StageKind, by_min: int, quiet: tuple[tuple[int, int], ...], asked: list[str]
) -> None:
    stage = Stage("Stand", kind, 3600.0, stretch=(1800.0, 7200.0))
    made = formula(Stage("Mix", "hands", 600.0), stage, Stage("Shape", "hands", 600.0))
    state = bake("B", made, (0, intents.Begin()), (600, intents.Done()))
    stands = replace(line("Stand", kind, 10, 70 + by_min), least_s=1800, most_s=7200)
    times = day(line("Mix", "hands", 0, 10), stands, line("Shape", "hands", 70 + by_min, 80 + by_min))

    found = proposals([state], replace(times, quiet=quiet), 20 * MINUTE_US, clock=clock)

    assert [one.because for one in found] == asked


@pytest.mark.parametrize(
    ("hours", "by_min", "asks"), [(1, 5, True), (2, 5, False), (2, 6, True), (12, 35, False), (12, 36, True)]
)
def test_a_long_proof_is_not_asked_about_for_a_twentieth_of_its_length(hours: int, by_min: int, asks: bool) -> None:  # noqa: FBT001
    stage = Stage("Poolish", "proof", hours * 3600.0, stretch=(600.0, 90000.0))
    made = formula(Stage("Mix", "hands", 600.0), stage, Stage("Shape", "hands", 600.0))
    state = bake("B", made, (0, intents.Begin()), (600, intents.Done()))
    ends = 10 + hours * 60 + by_min
    stands = replace(line("Poolish", "proof", 10, ends), least_s=600, most_s=90000)
    times = day(line("Mix", "hands", 0, 10), stands, line("Shape", "hands", ends, ends + 10))

    assert bool(proposals([state], times, 20 * MINUTE_US, clock=clock)) == asks


@pytest.mark.parametrize(("to_s", "stands_s"), [(4080.0, 3900.0), (4200.0, 4200.0), (3480.0, 3480.0), (3660.0, 3900.0)])
def test_a_question_keeps_its_figure_until_the_plans_has_moved_by_minutes(to_s: float, stands_s: float) -> None:
    before = Proposal("b", "B", 4, "Final proof", 3600.0, 3900.0)
    assert replace(before, to_s=to_s).as_asked([before]).to_s == stands_s
    assert replace(before, from_s=3000.0, to_s=to_s).as_asked([before]).to_s == to_s, "another length runs"
    start = Proposal("b", "B", None, "Mix", 600.0, 900.0)
    assert replace(start, from_s=540.0, to_s=900.0).as_asked([start]).to_s == 840.0, "a minute later"


def read_at(celsius: float) -> BakeState:
    """Harbour knots whose dough was read five minutes into its final proof."""
    read = intents.Read("dough temperature", f"{celsius:g}", raw=celsius, sure=True)
    return bake("A", "harbour-knots", *TO_FINAL_PROOF, (6660.0, read))


@pytest.mark.parametrize("celsius", [18.0, 20.0, 22.0, 27.0, 30.0])
@pytest.mark.parametrize("by_min", [-25, -10, 10, 40])
def test_no_dough_is_asked_for_what_its_reading_does_not_leave_open(celsius: float, by_min: int) -> None:
    """The final proof of the knots forgives from 35 to 70 min, a cold one more; its reading says when it is ready."""
    state, now_us = read_at(celsius), 6700 * 1_000_000
    said = state.stages[4].adjustments[-1].body
    assert said.rate_low_s is not None
    assert said.rate_high_s is not None
    low_s, high_s = min(said.rate_low_s, 0.85 * said.to_s), max(said.rate_high_s, 1.15 * said.to_s)
    problem = problem_of([], KITCHEN, now_us, [state])
    assert problem.chains[0].steps[4].least_s == pytest.approx(low_s), "the plan does not rely on less"
    (times,) = timetable(plan(problem), now_us).bakes
    proof = times.lines[4]
    ends_us = proof.begins_us + round(said.to_s + by_min * 60) * 1_000_000
    held = (*times.lines[:4], replace(proof, ends_us=ends_us), *times.lines[5:])
    wanted = replace(times, lines=held, wanted_us=times.ready_us - 3600 * 1_000_000 if by_min < 0 else None)

    found = proposals([state], Timetable((wanted,), ()), now_us)

    assert all(low_s <= one.to_s <= high_s for one in found)
    assert all(abs(one.to_s - said.to_s) >= 300 for one in found)


def test_a_rise_that_was_judged_since_is_no_reading_of_warmth_and_a_place_is_none() -> None:
    assert by_its_reading(bake("A", "harbour-knots", *TO_FINAL_PROOF), 4) is None
    state = read_at(20.0)
    last = state.stages[4].adjustments[-1]
    assert by_its_reading(state, 4) == (last.body.rate_low_s, last.body.rate_high_s)
    kinds: tuple[tuple[By, bool], ...] = (("plan", True), ("hand", True), ("rise", False), ("place", True))
    for by, left in kinds:
        body = replace(last.body, by=by, rate_low_s=None, rate_high_s=None)
        if by == "place":
            body = replace(last.body, by=by)
        run = replace(state.stages[4], adjustments=(last, replace(last, body=body)))
        after = state.with_stage(4, run)
        assert (by_its_reading(after, 4) is not None) == left
        if by == "place":
            assert by_its_reading(replace(after, readings=()), 4) is None, "nobody has read it"


def starts(letter: str, own_min: float, planned_min: float, *others: BakeTimes) -> Timetable:
    mix = line("Mix", "hands", 0, 6)
    begins_us = round(planned_min * MINUTE_US)
    own = replace(mix, letter=letter, begins_us=begins_us, ends_us=begins_us + 6 * MINUTE_US)
    return Timetable((BakeTimes(letter, "Knots", (own,), None), *others), ())


def test_a_start_that_slides_keeps_the_hour_it_was_asked_with_and_is_not_asked_once_it_has_come() -> None:
    """It is due at 10:00 min, and the work that it waits for takes ever longer."""
    state = waiting(600)
    hours: list[float] = []
    asked: tuple[Proposal, ...] = ()
    for now_min in range(11):
        table = starts("D", 10, 24 + now_min * 0.4)
        asked = proposals([state], table, now_min * MINUTE_US, before=asked)
        hours += [now_min + one.to_s / 60 for one in asked]
    assert hours == [24.0] * 11
    assert proposals([state], starts("D", 10, 29), 11 * MINUTE_US, before=asked) == ()
    assert [one.done for one in asked] == ["D begins 14 min later."]


def test_what_was_asked_does_not_go_by_itself_before_the_plan_has_moved_by_minutes() -> None:
    state = waiting(600)
    asked = proposals([state], starts("D", 10, 17), 0)
    assert [one.to_s - one.from_s for one in asked] == [420]
    assert [one.to_s - one.from_s for one in proposals([state], starts("D", 10, 14), 0, before=asked)] == [420]
    assert proposals([state], starts("D", 10, 14), 0) == ()
    assert proposals([state], starts("D", 10, 12), 0, before=asked) == ()


def test_a_reason_is_a_sentence_and_what_was_agreed_is_said() -> None:
    one = Proposal("b", "B", 4, "Final proof", 3600.0, 3900.0, because="so that E can begin at 07:20")
    assert one.asked[1] == "B: final proof 5 min longer? So that E can begin at 07:20."
    assert one.reason == "5 min longer: so that E can begin at 07:20."
    assert one.done == "B: final proof 5 min longer."
    assert replace(one, place_c=4.0).done == "B: final proof in the cold."


def test_the_reason_stays_with_its_figure_unless_another_dough_is_meant() -> None:
    before = Proposal("b", "B", 4, "Final proof", 3600.0, 3900.0, because="E has the oven until 07:17", for_letter="E")
    after = replace(before, to_s=4020.0, because="E has the oven until 07:19")
    assert after.as_asked([before]).because == "E has the oven until 07:17"
    assert replace(after, because="F has the oven until 07:19", for_letter="F").as_asked([before]).because[0] == "F"


def test_while_another_plan_is_made_a_question_about_a_start_names_the_same_hour_until_that_has_come() -> None:
    state = waiting(600)
    (one,) = proposals([state], starts("D", 10, 24), 0)
    assert [now_min + as_of(one, [state], now_min * MINUTE_US).to_s / 60 for now_min in (0, 3, 9)] == [24, 24, 24]
    assert [still_open(one, [state], now_min * MINUTE_US) for now_min in (9, 11)] == [True, False]
    length = replace(one, stage=0)
    assert as_of(length, [state], 3 * MINUTE_US) is length


@pytest.mark.parametrize(("until_min", "asked_min"), [(180, [20]), (190, [])])
def test_a_dough_that_does_not_bear_to_wait_for_an_oven_is_not_asked_for_a_part_of_it(
    until_min: int, asked_min: list[float]
) -> None:
    """The final proof of the knots begins at 106 min, is 50 min long and bears 72; C has the oven at the end of it."""
    state, now_us = bake("A", "harbour-knots", *TO_FINAL_PROOF), 6400 * 1_000_000
    other = replace(line("Bake", "bake", 130, until_min - 4), letter="C")
    (times,) = timetable(plan(problem_of([], KITCHEN, now_us, [state])), now_us).bakes
    later_us = (until_min - 4 - 156) * MINUTE_US
    proof, *after = times.lines[4:]
    moved_ = (replace(each, begins_us=each.begins_us + later_us, ends_us=each.ends_us + later_us) for each in after)
    lines = (*times.lines[:4], replace(proof, ends_us=proof.ends_us + later_us), *moved_)
    own = tuple(replace(each, letter="C") for each in times.lines)
    theirs = replace(times, letter="C", lines=(*own[:5], other, own[6]))
    table = Timetable((replace(times, lines=lines), theirs), ())
    begun = bake("C", "harbour-knots", *TO_FINAL_PROOF)

    found = proposals([state, begun], table, now_us)

    assert [(one.to_s - one.from_s) / 60 for one in found if one.letter == "A"] == asked_min
