"""Eight kitchens, each worked by hand as a baker would: loads, nights, the cold, several people, one oven for all.

Dough: weigh 3 min, mix 10, first proof 60 (45 to 90), shape 10, final proof 50 (35 to 70), bake 30, cool 20. Every
oven has one place and takes 9 s for each kelvin, 27 min to 200 °C, and there is one pair of hands, unless said.
Moments are hours and minutes from midnight; 31:30 is 07:30 on the next day.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Capacity, Chain, Flexibility, Problem, Step
from proofbell.planner.repair.minimal_change import least_disruptive
from proofbell.planner.repair.replan import replan
from proofbell.planner.search import improve, plan
from proofbell.planner.solver.branch_and_bound import stop_after
from tests.support.made import MIN, baking, hands, proof
from tests.support.rules import broken

HOUR = 60 * MIN
KITCHEN = Capacity(up_s_per_k=9.0, down_s_per_k=9.0)
NIGHTS = tuple(((22 + 24 * day) * HOUR + 30 * MIN, (30 + 24 * day) * HOUR) for day in range(3))
"""22:30 to 06:00."""


def in_the_cold(hours: tuple[int, int] | None) -> Step | None:
    if hours is None:
        return None
    least, most = hours
    return Step("Cold", "chill", least * HOUR, least * HOUR, most * HOUR, critical=True,
                flexibility=Flexibility.ELASTIC, flat=True)  # fmt: skip


def dough(
    letter: str,
    ready_s: int,
    *,
    bakes: tuple[int, ...] = (30,),
    heat_c: float = 200.0,
    first_cold: tuple[int, int] | None = None,
    final_cold: tuple[int, int] | None = None,
    ripens: tuple[int, int, int] | None = None,
) -> Chain:
    """The dough of these kitchens; a bake for each load."""
    steps = [] if ripens is None else [hands("Stir", 5), proof("Ripen", *ripens)]
    steps.append(replace(hands("Weigh", 3), wait_s=12 * HOUR))
    steps += [
        hands("Mix", 10),
        replace(proof("First", 45, 60, 90), instead=in_the_cold(first_cold)),
        hands("Shape", 10),
    ]
    final = replace(proof("Final", 35, 50, 70), instead=in_the_cold(final_cold), shared=len(bakes) > 1)
    steps.append(final)
    since = len(steps) - 1
    for number, minutes in enumerate(bakes):
        load = replace(baking(minutes, heat_c), name=f"Bake {number + 1}")
        last = number + 1 == len(bakes)
        steps.append(replace(load, since=since if number else None, wait_s=0 if last else 12 * HOUR))
    cool_s = 20 * MIN
    steps.append(Step("Cool", "cool", cool_s, cool_s, cool_s, flexibility=Flexibility.FREE))
    return Chain(letter, tuple(steps), ready_s)


def at(hour: int, minute: int = 0) -> int:
    return hour * HOUR + minute * MIN


def planned(now_s: int, *chains: Chain, capacity: Capacity = KITCHEN, quiet: bool = False) -> Plan:
    found = plan(Problem(chains, capacity, now_s, NIGHTS if quiet else ()), 200)
    assert broken(found) == []
    return found


def begins(found: Plan, letter: str) -> dict[str, str]:
    """When each step begins."""
    chain, times = found.problem.by_letter[letter], found.of(letter)
    return {
        step.name: f"{begin_s // HOUR:02d}:{begin_s // MIN % 60:02d}"
        for step, begin_s in zip(chain.taken(times.instead), times.begins_s, strict=True)
    }


def test_1_a_second_load_waits_no_longer_than_it_forgives_and_both_share_the_wait() -> None:
    found = planned(at(6), dough("A", at(12), bakes=(16, 16)))

    told, times = begins(found, "A"), found.of("A")
    assert found.feasible
    assert (told["Bake 1"], told["Bake 2"], times.ready_s) == ("11:08", "11:24", at(12))
    waited_min = [(times.begins_s[bake] - times.begins_s[4]) // MIN for bake in (5, 6)]
    # 16 min over both: neither more than half of what it forgives, 42½ to 60 min.
    assert waited_min[0] >= 42
    assert waited_min[1] <= 60


def test_2_a_load_that_would_have_to_wait_too_long_is_said_and_two_half_batches_do_it() -> None:
    found = planned(at(6), dough("A", at(12), bakes=(40, 40)))
    halves = planned(at(6), dough("A", at(12), bakes=(40,)), dough("B", at(12), bakes=(40,)))

    assert found.cost.violation_s == 5 * MIN, "35 + 40 are 75 min, and 70 are forgiven"
    assert halves.feasible
    assert halves.cost.late_s == 0


def test_2b_the_load_that_waits_goes_into_the_cold_where_it_may() -> None:
    found = planned(at(6), dough("A", at(24), bakes=(40, 40), final_cold=(8, 16)))

    told = begins(found, "A")
    assert found.feasible
    assert (told["Shape"], told["Cold"], told["Bake 1"], told["Bake 2"]) == ("14:10", "14:20", "22:20", "23:00")


def test_3_a_night_before_breakfast_is_bridged_in_the_cold() -> None:
    found = planned(at(12), dough("A", at(31, 30), final_cold=(8, 16)), quiet=True)

    told = begins(found, "A")
    assert found.of("A").ready_s == at(31, 30)
    # In at 06:40: somebody turns the oven on at 06:13. Shaped by 22:20, with ten minutes to spare before the night.
    assert (told["Mix"], told["Cold"], told["Bake 1"]) == ("21:00", "22:20", "30:40")


def test_4_without_the_cold_it_is_baked_on_the_evening_before() -> None:
    found = planned(at(12), dough("A", at(31, 30)), quiet=True)

    assert (begins(found, "A")["Bake 1"], found.of("A").ready_s) == ("22:00", at(22, 50))
    assert found.cost.early_s == 8 * HOUR + 40 * MIN
    assert found.cost.quiet_s == 0


def test_4b_a_bread_of_the_morning_is_rather_a_little_late_than_of_the_day_before() -> None:
    found = planned(at(12), dough("A", at(32, 20)), quiet=True)

    assert (begins(found, "A")["Mix"], found.cost.stale_s) == ("30:03", 0)
    assert found.cost.late_s == 13 * MIN, "both proofs as short as they may be"


def test_5_a_preferment_ripens_over_the_night_at_its_own_length() -> None:
    found = planned(at(12), dough("A", at(36), ripens=(600, 720, 900)), quiet=True)

    told = begins(found, "A")
    # 12 h before the weigh-out, which is 3 min before the mix.
    assert (told["Stir"], told["Mix"], found.of("A").ready_s) == ("20:52", "33:00", at(36))
    assert (found.cost.critical_s, found.cost.quiet_s) == (0, 0)


def test_6_two_people_make_two_doughs_side_by_side() -> None:
    found = planned(at(6), dough("A", at(12)), dough("B", at(12)), capacity=replace(KITCHEN, people=2, trays=2))

    assert begins(found, "A") == begins(found, "B")
    assert {times.ready_s for times in found} == {at(12)}


def test_7_one_is_out_of_the_oven_as_the_other_goes_in() -> None:
    found = planned(at(6), dough("A", at(12)), dough("B", at(12)))

    assert [begins(found, letter)["Bake 1"] for letter in "AB"] == ["10:40", "11:10"]
    assert (found.of("A").ends_s[5], found.cost.late_s) == (at(11, 10), 0)


def test_8_after_a_night_the_cooler_heat_bakes_first_in_an_oven_that_nobody_turns_on_before_six() -> None:
    slow = replace(KITCHEN, up_s_per_k=15.0, down_s_per_k=15.0)
    chains = (
        dough("A", at(32, 5), final_cold=(8, 16)),
        dough("B", at(33, 30), first_cold=(8, 16)),
        dough("C", at(31, 30), final_cold=(8, 16), heat_c=180.0),
    )

    found = planned(at(15), *chains, capacity=slow, quiet=True)

    told = {letter: begins(found, letter)["Bake 1"] for letter in "ABC"}
    # 160 K in 40 min: C goes in at 06:40, as soon as it can, and is out at 07:10; 20 K more are 5 min: A at 07:15.
    assert (told["C"], told["A"]) == ("30:40", "31:15")
    assert all("Cold" in begins(found, letter) for letter in "AC")
    # B has time enough in the morning, and no need of the cold.
    assert begins(found, "B")["Weigh"] >= "30:00"
    assert "Cold" not in begins(found, "B")
    assert (found.cost.late_s, found.cost.quiet_s) == (0, 0)


def under_way() -> Problem:
    """The third kitchen at 22:20: the first proof began at 21:00, and a reading has made it end at 22:40."""
    chain = dough("A", at(31, 30), final_cold=(8, 16))
    weigh, mix, first, *rest = chain.steps
    length_s = 100 * MIN
    running = replace(first, least_s=length_s, nominal_s=length_s, most_s=length_s, begun_s=at(21))
    begun = (
        replace(weigh, begun_s=at(20, 47), ended_s=at(20, 50)),
        replace(mix, begun_s=at(20, 50), ended_s=at(21)),
        running,
    )
    return Problem((replace(chain, steps=(*begun, *rest)),), KITCHEN, at(22, 20), NIGHTS)


def test_a_dough_under_way_takes_somebody_into_the_night_for_no_longer_than_it_must() -> None:
    found = plan(under_way(), 60)

    told = begins(found, "A")
    assert found.feasible
    # Shaped at 22:40, ten minutes of hands; eight hours in the cold; in at 06:50 and ready at 07:40, ten minutes late.
    assert (told["Shape"], told["Cold"], told["Bake 1"]) == ("22:40", "22:50", "30:50")
    assert (found.cost.quiet_s, found.cost.late_s) == (20 * MIN, 10 * MIN)


def test_the_plan_for_the_bench_keeps_that_in_mind_as_well() -> None:
    day = under_way()

    (*_, last) = least_disruptive(improve(day, None, stop_after(200)), stop_after(400))

    assert last.times[0].instead == (4,)
    assert last.cost.quiet_s <= 20 * MIN


def test_planning_again_keeps_the_night_as_it_was_planned() -> None:
    before = planned(12 * HOUR, dough("A", at(31, 30), final_cold=(8, 16)), dough("B", at(32)), quiet=True)
    now_s = at(21, 30)
    chains = []
    for chain, times in zip(before.problem.chains, before.times, strict=True):
        steps = tuple(
            replace(step, begun_s=begin_s, ended_s=end_s if end_s <= now_s else None) if begin_s <= now_s else step
            for step, begin_s, end_s in zip(chain.steps, times.begins_s, times.ends_s, strict=True)
        )
        chains.append(replace(chain, steps=steps))

    again = next(replan(replace(before.problem, chains=tuple(chains), now_s=now_s), before))

    assert again.feasible
    assert [times.instead for times in again.times] == [times.instead for times in before.times]
    assert again.cost.quiet_s == 0
    assert again.of("A").begins_s == before.of("A").begins_s
