"""What to set on the oven's dial, and when."""

import pytest

from proofbell.dough.oven import (
    change_s,
    cool_down_s,
    fan_c,
    gas_mark,
    heat_up_s,
    setting,
)
from proofbell.units import c_from_f, difference_c_from_f, difference_f_from_c, f_from_c

# Oven manual of Baumatic BO788, temperature chart: gas mark, °F, °C.
CHART = [
    ("¼", 225, 110),
    ("½", 250, 130),
    ("1", 275, 140),
    ("2", 300, 160),
    ("3", 325, 170),
    ("4", 350, 180),
    ("5", 375, 190),
    ("6", 400, 200),
    ("7", 425, 220),
    ("8", 450, 230),
    ("9", 475, 240),
]


@pytest.mark.parametrize(("mark", "temp_f", "temp_c"), CHART)
def test_gas_marks_are_those_of_a_published_chart(mark: str, temp_f: float, temp_c: float) -> None:
    assert gas_mark(c_from_f(temp_f)) == mark
    # The chart rounds to tens of °C, so mark 2 (149 °C) is printed as 160: within 11 °C.
    assert c_from_f(temp_f) == pytest.approx(temp_c, abs=11.2)


def test_mark_7_is_220_degrees() -> None:
    assert gas_mark(220) == "7"
    assert f_from_c(220) == pytest.approx(428)


def test_there_are_no_marks_far_below_a_quarter_or_above_ten() -> None:
    assert gas_mark(93) is None
    assert gas_mark(94) == "¼"
    assert gas_mark(266) == "10"
    assert gas_mark(267) is None


def test_fahrenheit_and_back() -> None:
    assert f_from_c(100) == 212
    assert c_from_f(32) == 0


def test_a_fan_oven_is_set_lower() -> None:
    # BBC Good Food's conversion: 20 °C less; other charts say 10 °C, so the kitchen may say.
    assert fan_c(200) == 180
    assert setting(200, kind="fan") == "180 °C fan"
    assert setting(200, kind="fan", fan_less_k=10) == "190 °C fan"


def test_each_kind_of_oven_is_told_in_its_own_words() -> None:
    assert setting(190) == "190 °C"
    assert setting(190, kind="gas") == "gas mark 5"
    assert setting(60, kind="gas") == "60 °C"


# Belling G755, instruction book: centre of the main oven, where mark 6 is 220 °C and not 200.
BELLING = [(150.0, "2"), (175.0, "3"), (195.0, "4"), (210.0, "5"), (220.0, "6"), (230.0, "7")]


def test_the_ovens_own_table_goes_first() -> None:
    assert setting(220, kind="gas", dial=BELLING) == "6"
    assert setting(212.5, kind="gas", dial=BELLING) == "5"
    assert setting(202, kind="gas", dial=BELLING[::-1]) == "between 4 and 5"
    assert setting(240, kind="gas", dial=BELLING) == "gas mark 9"
    assert setting(140, kind="gas", dial=BELLING) == "gas mark 1"


def test_an_oven_whose_table_is_in_fahrenheit_is_told_in_fahrenheit_beyond_it_too() -> None:
    dial = [(180.0, "350 °F"), (200.0, "400 °F")]
    # 240 °C is 464 °F, 150 °C 302 °F.
    assert (setting(240, dial=dial), setting(150, dial=dial)) == ("465 °F", "300 °F")
    assert setting(240, kind="fan", dial=dial) == "430 °F fan"
    assert setting(240, dial=[*dial, (220.0, "7")]) == "240 °C"


def test_heating_is_in_proportion_to_the_kitchens_own_time() -> None:
    assert heat_up_s(20, 200, heat_up_s=1500) == pytest.approx(1500)
    assert heat_up_s(20, 110, heat_up_s=1500) == pytest.approx(750)
    assert heat_up_s(210, 200, heat_up_s=1500) == 0


def test_cooling_is_in_proportion_too() -> None:
    assert cool_down_s(240, 190, cool_down_s=1200) == pytest.approx(600)
    assert cool_down_s(190, 240, cool_down_s=1200) == 0


def test_a_change_of_heat_goes_either_way() -> None:
    assert change_s(240, 190, heat_up=1500, cool_down=1200) == pytest.approx(600)
    assert change_s(110, 200, heat_up=1500, cool_down=1200) == pytest.approx(750)


def test_a_difference_has_no_32() -> None:
    # Cook's Illustrated gives friction as 5 °F by hand: 2.8 °C, where a reading of 5 °F is −15 °C.
    assert difference_c_from_f(5) == pytest.approx(2.78, abs=0.005)
    assert difference_f_from_c(difference_c_from_f(20)) == pytest.approx(20)
    assert c_from_f(5) == pytest.approx(-15)


def test_between_two_marks_the_nearer_one_is_told() -> None:
    assert gas_mark(c_from_f(287)) == "1"
    assert gas_mark(c_from_f(288)) == "2"
    assert gas_mark(c_from_f(262)) == "½"
    assert gas_mark(c_from_f(263)) == "1"
    assert gas_mark(c_from_f(500)) == "10"


def test_the_ends_of_the_gas_scale_still_have_a_mark() -> None:
    # A mark below ¼ (225 °F) and half a mark above 10 (500 °F): the widest that we let the scale reach.
    assert gas_mark(c_from_f(200)) == "¼"
    assert gas_mark(c_from_f(512.5)) == "10"
    assert gas_mark(c_from_f(199.9)) is None
    assert gas_mark(c_from_f(512.6)) is None
