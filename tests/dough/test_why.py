"""The working that a baker can follow, recomputed from its own printed numbers."""

import re

import pytest

from proofbell.dough.liquid import Part, factor_method, liquid_for
from proofbell.dough.why import FactorMethod, Working, liquid_working
from tests.support.fermentation import equal_time, proof_working


def numbers(line: str) -> list[float]:
    return [float(text.replace("−", "-")) for text in re.findall(r"[−+]?\d+(?:\.\d+)?", line)]


OTHERS = [Part("white flour", 500, 20, 1.84), Part("egg", 60, 4, 3.18), Part("oven-warm nuts", 50, 60, 1.42)]


def liquid(coldest_c: float = 10.0, wanted_c: float = 25.0) -> Working:
    liquid_g = 250.0
    answer = liquid_for(
        OTHERS,
        liquid_g=liquid_g,
        liquid_kj=4.185,
        dough_temp_c=wanted_c,
        rise_k=1.5,
        coldest_c=coldest_c,
        ice=True,
    )
    method = FactorMethod(
        (("room", 20.0), ("flour", 20.0)), 4.5, factor_method(wanted_c, friction=4.5, factors=(20.0, 20.0))
    )
    return liquid_working(
        name="water",
        liquid_g=liquid_g,
        liquid_kj=4.185,
        others=OTHERS,
        dough_temp_c=wanted_c,
        rise_k=1.5,
        rise_from="the formula's figure",
        liquid=answer,
        ice_c=-18.0,
        factor_method=method,
    )


def test_the_working_of_a_liquid_adds_up_with_a_pencil() -> None:
    lines = liquid().lines
    each = [line for line in lines if " × " in line and "from" in line and "÷" not in line]
    assert len(each) == 3
    taken = 0.0
    for line in each:
        weight, heat, degrees, _, joules = numbers(line)
        assert weight * heat * degrees == pytest.approx(joules if "takes up" in line else -joules, abs=weight * 0.1)
        taken += joules if "takes up" in line else -joules
    together = numbers(next(line for line in lines if "together" in line))[0]
    assert together == pytest.approx(taken, abs=2)
    needed, each_degree, above, mix, answer = numbers(next(line for line in lines if "÷" in line))
    assert needed == pytest.approx(together)
    assert above == pytest.approx(needed / each_degree, abs=0.06)
    assert mix == 23.5
    assert answer == pytest.approx(mix + above, abs=0.11)


def test_the_working_says_what_the_bench_card_says_and_why_it_differs() -> None:
    lines = liquid().lines
    card = next(line for line in lines if "factor method" in line and "=" in line)
    assert "3 × 25.0 °C − 20.0 °C (room) − 20.0 °C (flour) − 4.5 °C" in card
    assert card.endswith("= 30.5 °C.")
    assert "egg, butter and sugar" in lines[-1]


def test_the_bench_card_is_told_in_fahrenheit_with_friction_as_a_difference() -> None:
    # Pizza Today, June 2018: 3 × 80 − 75 (room) − 65 (flour) − 35 (friction) = 65 °F.
    def c(temp_f: float) -> float:
        return (temp_f - 32) / 1.8

    card = FactorMethod((("room", c(75)), ("flour", c(65))), 35 / 1.8, c(65))
    told = liquid_working(
        name="water",
        liquid_g=600,
        liquid_kj=4.185,
        others=[Part("flour", 1000, c(65), 1.84)],
        dough_temp_c=c(80),
        rise_k=35 / 1.8 / 3,
        rise_from="the formula's figure",
        liquid=liquid_for(
            [Part("flour", 1000, c(65), 1.84)],
            liquid_g=600,
            liquid_kj=4.185,
            dough_temp_c=c(80),
            rise_k=35 / 1.8 / 3,
            coldest_c=5.0,
        ),
        ice_c=-18.0,
        factor_method=card,
    ).lines
    line = next(line for line in told if line.strip().startswith("In °F"))
    assert "3 × 80.0 − 75.0 − 65.0 − 35.0 = 65.0 °F" in line


def test_ice_is_worked_out_too() -> None:
    lines = liquid(coldest_c=34.0).lines
    line = next(line for line in lines if "g of ice" in line)
    whole, heat, degrees, cooling, *_, ice_g = numbers(line)
    assert ice_g == pytest.approx(whole * heat * degrees / cooling, abs=1)
    assert any("The tap gives 34.0 °C" in line for line in lines)


def test_a_limit_is_told_with_what_follows() -> None:
    lines = liquid(wanted_c=34.0).lines
    told = next(line for line in lines if line.startswith("That is too warm for the yeast"))
    assert "43.0 °C" in told
    assert "instead of 34.0 °C" in told
    iced = next(line for line in liquid(coldest_c=45.0, wanted_c=0.0).lines if line.startswith("That is more ice"))
    assert "with 125 g of ice" in iced
    assert not any(line.startswith("That is") for line in liquid().lines)


def proof(place_c: float = 22.0, readings: tuple[tuple[float, float], ...] = ((0.0, 26.8),)) -> Working:
    asked = {
        "nominal_s": 4200.0,
        "at_c": 25.0,
        "nominal_place_c": 22.0,
        "readings": readings,
        "place_c": place_c,
        "tau_s": 6000.0,
        "tolerance_k": 1.0,
        "uncertainty_k": 1.5,
    }
    return proof_working(stage="First proof", estimate=equal_time(**asked), **asked)


def test_the_working_of_a_proof_goes_from_nothing_to_all() -> None:
    working = proof()
    rows = [line for line in working.lines if line.startswith("  after")]
    assert len(rows) == 5
    assert "26.8 °C" in rows[0]
    assert rows[0].endswith("done 0 %")
    assert rows[-1].endswith("done 100 %")
    done = [numbers(row)[-1] for row in rows]
    assert done == sorted(done)
    # The trapezium rule on the printed rows comes to the printed total.
    paces = [float(row.split("pace ")[1].split(",")[0]) for row in rows]
    mean = (sum(paces) - (paces[0] + paces[-1]) / 2) / 4
    worth_min = next(line for line in working.lines if line.startswith("The formula's")).split("as much as ")[1]
    so = next(line for line in working.lines if line.startswith("So it has"))
    hours, minutes = numbers(so)
    assert mean * (hours * 60 + minutes) == pytest.approx(
        numbers(worth_min)[0] * 60 + numbers(worth_min)[1] if " h " in worth_min[:6] else numbers(worth_min)[0],
        rel=0.02,
    )


def test_the_working_of_a_proof_tells_readings_place_and_doubt() -> None:
    text = "\n".join(proof(readings=((0.0, 26.8), (1800.0, 26.0))).lines)
    assert "26.8 °C at the start, 26.0 °C after 30 min; it stands in 22.0 °C" in text
    assert "by its readings (1 h 40 min by its weight)" in text
    assert "off by 1.0 °C, the place by 1.5 °C, the pace of its cooling or warming by 24 %: from" in text
    assert "no reading yet, so it counts as 25.0 °C" in "\n".join(proof(readings=()).lines)
    assert "in 1 h 40 min." in "\n".join(proof().lines)


def test_a_cold_proof_says_that_little_is_known_and_a_frozen_one_that_it_never_ends() -> None:
    cold = "\n".join(proof(place_c=5.0, readings=((0.0, 9.0),)).lines)
    assert "below 10 °C" in cold
    never = "\n".join(proof(place_c=-6.0, readings=((0.0, 9.0),)).lines)
    assert "will not get there: find a warmer one" in never
    assert "either way" in never
    assert "to never" in "\n".join(proof(place_c=0.9, readings=((0.0, 9.0),)).lines)
    assert "below 10 °C" not in "\n".join(proof().lines)


def test_no_figure_of_a_working_is_missing() -> None:
    workings = [
        liquid(),
        liquid(coldest_c=34.0),
        liquid(wanted_c=34.0),
        proof(),
        proof(readings=()),
        proof(place_c=-6.0),
        proof(place_c=0.9, readings=((0.0, 9.0),)),
    ]
    for working in workings:
        assert "–" not in "\n".join(working.lines)
        assert "XX" not in "\n".join(working.lines)
    assert workings[0].title == "Temperature of the water"
    assert workings[3].title == "Time of First proof"


def test_the_ice_of_the_working_is_the_ice_of_the_answer() -> None:
    answer = liquid_for(
        OTHERS, liquid_g=250.0, liquid_kj=4.185, dough_temp_c=25.0, rise_k=1.5, coldest_c=34.0, ice=True
    )
    line = next(line for line in liquid(coldest_c=34.0).lines if "g of ice" in line)
    assert numbers(line)[-1] == round(answer.ice_g)
    assert any(line.startswith("That is too warm") and "of ice" not in line for line in liquid(wanted_c=34.0).lines)
    iced = liquid(coldest_c=45.0, wanted_c=0.0).lines
    assert any("The tap gives" in line for line in iced)
    assert any("the water is taken at 45.0 °C" in line for line in iced)


def test_what_gives_and_what_takes_is_said_so() -> None:
    lines = liquid().lines
    assert any(line.startswith("  oven-warm nuts") and ": gives " in line for line in lines)
    assert any(line.startswith("  white flour") and ": takes up " in line for line in lines)


def test_a_mix_that_is_too_warm_asks_for_a_colder_liquid_in_so_many_words() -> None:
    warm = [Part("warm flour", 500, 40, 1.84)]
    answer = liquid_for(warm, liquid_g=400, liquid_kj=4.185, dough_temp_c=25.0, rise_k=1.5, coldest_c=5.0)
    told = liquid_working(
        name="milk",
        liquid_g=400,
        liquid_kj=4.185,
        others=warm,
        dough_temp_c=25.0,
        rise_k=1.5,
        rise_from="the usual figure by hand",
        liquid=answer,
        ice_c=-18.0,
        factor_method=FactorMethod((("room", 40.0), ("flour", 40.0)), 4.5, -9.5),
    ).lines
    assert any(line.strip() == "together they give 15180 J." for line in told)
    assert "  15180 J ÷ 1674 J = 9.1 °C colder than 23.5 °C: 14.4 °C." in told
    assert any("gives 15180 J" in line for line in told)
    assert any("the usual figure by hand" in line for line in told)


def test_the_proof_is_told_at_round_quarters() -> None:
    rows = [line for line in proof().lines if line.startswith("  after")]
    assert rows[0].startswith("  after 0 s:")
    assert "against 25 °C, and" in "\n".join(proof().lines)
    assert "at 25 °C." in "\n".join(proof().lines)


def test_the_working_follows_several_readings_to_the_end() -> None:
    rows = [
        line
        for line in proof(readings=((0.0, 26.8), (1500.0, 25.0), (2400.0, 24.4))).lines
        if line.startswith("  after")
    ]
    done = [numbers(row)[-1] for row in rows]
    assert done[0] == 0
    assert done[-1] == 100
    # A cooling dough does more in its first half than in its second, and nearly half of all in either.
    assert 50 < done[2] < 56


def told(others: list[Part], wanted_c: float = 25.0) -> tuple[str, ...]:
    """The working of 250 g of water with others, the mix half a degree under the dough."""
    answer = liquid_for(others, liquid_g=250, liquid_kj=4.185, dough_temp_c=wanted_c, rise_k=0.5, coldest_c=5.0)
    return liquid_working(
        name="water",
        liquid_g=250,
        liquid_kj=4.185,
        others=others,
        dough_temp_c=wanted_c,
        rise_k=0.5,
        rise_from="the usual figure by hand",
        liquid=answer,
        ice_c=-18.0,
        factor_method=FactorMethod((("room", 20.0), ("flour", 20.0)), 1.5, 33.5),
    ).lines


def test_a_mix_that_is_too_cold_asks_for_a_warmer_liquid_in_so_many_words() -> None:
    # By hand: 500 × 1.84 × 0.5 = 460 J; 250 × 4.185 = 1046 J a degree; 460 ÷ 1046 = 0.4 °C.
    lines = told([Part("white flour", 500, 24.0, 1.84)])
    assert "  white flour: 500 g × 1.84 × +0.5 °C, from 24.0 °C: takes up 460 J" in lines
    assert "  together they take up 460 J." in lines
    assert "  460 J ÷ 1046 J = 0.4 °C warmer than 24.5 °C: 24.9 °C." in lines


def test_flour_that_has_the_right_temperature_takes_up_nothing() -> None:
    lines = told([Part("white flour", 500, 24.5, 1.84)])
    assert "  white flour: 500 g × 1.84 × +0.0 °C, from 24.5 °C: takes up 0 J" in lines
    assert "  together they take up 0 J." in lines
    assert "  0 J ÷ 1046 J = 0.0 °C warmer than 24.5 °C: 24.5 °C." in lines


def test_a_part_is_weighed_to_a_tenth_of_a_gram() -> None:
    assert any(line.startswith("  salt: 12.3 g × ") for line in told([Part("salt", 12.34, 20.0, 0.84)]))


def test_a_proof_at_the_reference_is_worth_its_own_time() -> None:
    asked = {
        "nominal_s": 40 * 3600.0,
        "at_c": 25.0,
        "nominal_place_c": 25.0,
        "readings": (),
        "place_c": 25.0,
        "tau_s": 6000.0,
        "tolerance_k": 1.0,
        "uncertainty_k": 1.0,
    }
    lines = proof_working(stage="Bulk", estimate=equal_time(**asked), **asked).lines
    assert "as much as 40 h at 25 °C." in lines[0]
