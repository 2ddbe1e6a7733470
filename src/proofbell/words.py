"""How numbers are said to a baker: "25.0 °C", "75 g", "1 h 05 min", "05:09"; in the units that the kitchen counts in.

Used by every command and screen; nothing else turns °C into °F or g into oz for the eye.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal

from proofbell.units import FLUID_OUNCE_ML, FOOT_M, INCH_CM, OUNCE_G, f_from_c, used

NOTHING = "–"


def temperature(value_c: float | None, digits: int = 1) -> str:
    """Say a temperature: ``25.0 °C``, ``77.0 °F``."""
    if value_c is None or not math.isfinite(value_c):
        return NOTHING
    return f"{_fixed(in_degrees(value_c), digits)} {used().temperature}"


def in_degrees(value_c: float) -> float:
    """A temperature (°C) as the kitchen's degrees count it."""
    return f_from_c(value_c) if used().temperature == "°F" else value_c


def other_degrees(value_c: float) -> str:
    """A temperature to the degree as the other half of the world counts it: ``77 °F``, in a °F kitchen ``25 °C``."""
    return f"{_fixed(value_c, 0)} °C" if used().temperature == "°F" else f"{_fixed(f_from_c(value_c), 0)} °F"


def degrees(value_c: float) -> str:
    """The bare number of a temperature, without needless noughts: ``26``, ``26.5``; in °F a whole one."""
    told = in_degrees(value_c)
    return _fixed(told, 0) if used().temperature == "°F" else f"{round(told, 1):g}".replace("-", "−")


def temperatures(low_c: float, high_c: float, between: str = "to") -> str:
    """Say a range: ``24 to 26 °C``, ``75 to 79 °F``."""
    return f"{degrees(low_c)} {between} {degrees(high_c)} {used().temperature}"


_MARKED = re.compile(r"‹([^›]+)›")
_SPAN = re.compile(r"(\d+(?:\.\d+)?)(?: (to|and) (\d+(?:\.\d+)?))? °C")
_CHANGE = re.compile(r"(\d+(?:\.\d+)?) K")
_WEIGHT = re.compile(r"(\d+(?:\.\d+)?) (k?)g")
_CLOCK = re.compile(r"(\d\d):(\d\d)")
_TIN = re.compile(r"\d+(?: [x/] \d+)+ cm")


def as_counted(text: str) -> str:
    """A fixed text of ours, with the figures that it marks as the kitchen counts them: "killed above ‹54 °C›".

    What can be marked: ``‹27 °C›``, ``‹54 and 60 °C›``, a change as ``‹10 K›``, ``‹1.8 kg›`` (an example: in whole
    ounces), ``‹25 x 11 cm›`` (who weighs in oz buys tins in inches: to the half), ``‹18:30›``. A text that somebody
    typed goes nowhere near it. Raises ValueError: a mark that is none of these.
    """
    return _MARKED.sub(lambda found: _marked(found[1]), text)


def _marked(figure: str) -> str:
    if span := _SPAN.fullmatch(figure):
        low_c = float(span[1])
        return temperatures(low_c, float(span[3]), span[2]) if span[3] else temperature(low_c, 0)
    if change := _CHANGE.fullmatch(figure):
        return difference(float(change[1]), 0)
    if weighed := _WEIGHT.fullmatch(figure):
        ounces = round(float(weighed[1]) * (1000 if weighed[2] else 1) / OUNCE_G)
        return f"{ounces} oz" if used().weight == "oz" else figure
    if _TIN.fullmatch(figure):
        inches = re.sub(r"\d+", lambda size: f"{round(int(size[0]) / INCH_CM * 2) / 2:g}", figure).replace("cm", "in")
        return inches if used().weight == "oz" else figure
    if at := _CLOCK.fullmatch(figure):
        return hour_minute(datetime(2000, 1, 1, int(at[1]), int(at[2])))  # noqa: DTZ001
    raise ValueError(figure)


def difference(value_k: float | None, digits: int = 1, *, signed: bool = False) -> str:
    """Say a difference of temperatures: ``1.5 °C``, or ``+1.5 °C`` when ``signed``."""
    if value_k is None or not math.isfinite(value_k):
        return NOTHING
    sign = "+" if signed and value_k > 0 else ""
    told = value_k * 1.8 if used().temperature == "°F" else value_k
    return f"{sign}{_fixed(told, digits)} {used().temperature}"


def differences(low_k: float, high_k: float) -> str:
    """Say a range of differences of temperatures: ``1.5 to 4.0 °C``."""
    times = 1.8 if used().temperature == "°F" else 1.0
    return f"{_fixed(low_k * times, 1)} to {_fixed(high_k * times, 1)} {used().temperature}"


def grams(value_g: float | None, step_g: float = 1.0) -> str:
    """Say a weight with the decimals of the scale's step: ``75 g``, ``1.25 g`` for a step of 0.01 g."""
    if value_g is None or not math.isfinite(value_g):
        return NOTHING
    if used().weight == "oz":
        return _ounces(value_g)
    return f"{_fixed(value_g, _digits(step_g))} g"


def _ounces(value_g: float) -> str:
    """``0.11 oz``, ``42.3 oz``: hundredths where a tenth is too coarse for salt and yeast; no pounds, to add up."""
    ounces = value_g / OUNCE_G
    return f"{_fixed(ounces, 2 if abs(ounces) < 3 else 1)} oz"


def volume(value_ml: float) -> str:
    """Say how much a tin holds: ``1600 ml``; who weighs in oz counts in fluid ounces of the US: ``54 fl oz``."""
    if used().weight != "oz":
        return f"{value_ml:.0f} ml"
    told = value_ml / FLUID_OUNCE_ML
    return f"{told:.{0 if told >= 10 else 1}f} fl oz"


def height(value_m: float) -> str:
    """Say a height above the sea: ``350 m``; who weighs in oz counts in feet: ``1148 ft``."""
    return f"{_fixed(value_m / FOOT_M, 0)} ft" if used().weight == "oz" else f"{_fixed(value_m, 0)} m"


def weight(value_g: float, step_g: float = 1.0) -> str:
    """Say a weight that was rounded before, with all its decimals: at least those of ``step_g``, at most three."""
    steps = [step for step in (step_g, 0.1, 0.01) if step <= step_g]
    told_g = next((step for step in steps if math.isclose(value_g, round(value_g, _digits(step)), abs_tol=1e-6)), 0.001)
    return grams(value_g, told_g)


def pieces(number: int | None, each_g: float | None) -> str:
    """Say what a batch is divided into: ``12 × 75 g``; nothing when either is unknown."""
    return f"{number} × {grams(each_g)}" if number and each_g else ""


def percent(value: float | None, digits: int = 1) -> str:
    """Say a percentage without needless noughts: ``65 %``, ``0.3 %``."""
    if value is None or not math.isfinite(value):
        return NOTHING
    text = _fixed(value, digits)
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def length(seconds: float | None) -> str:
    """Say a length of time: ``45 s``, ``1 min 30 s``, ``50 min``, ``1 h 05 min``, ``2 d 3 h``; a minus when negative.

    From ten minutes on it is said to the minute, from two days on to the hour.
    """
    if seconds is None or not math.isfinite(seconds):
        return NOTHING
    sign = "−" if seconds < 0 else ""
    whole = _rounded(abs(seconds))
    if whole < 60:
        return f"{sign if whole else ''}{whole} s"
    if whole < 600:
        minutes, rest = divmod(whole, 60)
        return f"{sign}{minutes} min" + (f" {rest:02d} s" if rest else "")
    minutes = _rounded(whole / 60)
    if minutes < 60:
        return f"{sign}{minutes} min"
    hours, rest = divmod(minutes, 60)
    if hours < 48:
        return f"{sign}{hours} h" + (f" {rest:02d} min" if rest else "")
    days, rest = divmod(_rounded(minutes / 60), 24)
    return f"{sign}{days} d" + (f" {rest} h" if rest else "")


def told_length(seconds: float | None) -> str:
    """Say in a sentence what was measured or reckoned: ``8 min`` for 7 min 59 s; seconds are for countdowns.

    From two minutes on it is said to the minute. What somebody has set is said as it was set, by :func:`length`.
    """
    if seconds is None or not math.isfinite(seconds) or abs(seconds) < 120:
        return length(seconds)
    return length(math.copysign(60 * _rounded(abs(seconds) / 60), seconds))


def as_set(seconds: float) -> str:
    """What somebody has set, as it was set: ``2 min 30 s``; what a moment left of it to the minute: ``8 min``."""
    return told_length(abs(seconds)) if seconds % 30 else length(abs(seconds))


def counted(number: int, one: str, more: str = "") -> str:
    """Say how many there are: ``1 bake``, ``2 bakes``. ``more`` is the plural when it is not ``one`` with an s."""
    return f"{number} {one if number == 1 else more or one + 's'}"


_UNBROKEN = re.compile(r"(?<=[0-9_→]) (?=[°%→a-zA-Z])|(?<=→) (?=[0-9])|(?<=[a-z]) (?=____)|(?<=, for) (?=[A-Z](?:$|:))")


def with_units(words: str) -> str:
    """Words in which no line breaks between a number, or the blank for one, and its unit, nor before a last letter."""
    return _UNBROKEN.sub("\u00a0", words)


def filled(words: str, width: int, first: str = "", later: str = "", *, break_long: bool = False) -> str:
    """A paragraph in lines of so many characters, the first after ``first``; a number stays with its unit."""
    import textwrap  # Not for a bench that only starts: its patterns take a while.

    lines = textwrap.fill(
        with_units(words), width, initial_indent=first, subsequent_indent=later, break_long_words=break_long
    )
    return lines.replace("\u00a0", " ")


def listed(words: Sequence[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def sentence(words: str) -> str:
    """Words with a capital and a full stop; a command to type (``proofbell …``) keeps its small letter."""
    words = words.strip()
    if not words:
        return ""
    first = words[0] if words.startswith("proofbell ") else words[0].upper()
    return f"{first}{words[1:].rstrip('.')}" + ("" if words[-1] in "?!" else ".")


_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip


def weekday(at: datetime) -> str:
    """``Sun``, the same in every locale."""
    return _WEEKDAYS[at.weekday()]


def month(at: datetime) -> str:
    """``March``; its first three letters are its short name."""
    return _MONTHS[at.month - 1]


def hour_minute(at: datetime) -> str:
    """Say a clock time: ``16:05``, or ``4:05 pm``."""
    return f"{at:%H:%M}" if used().clock == "24 h" else f"{at.hour % 12 or 12}:{at:%M} {_half(at)}"


def hour_minute_second(at: datetime) -> str:
    """Say a clock time to the second: ``16:05:09``, or ``4:05:09 pm``."""
    return f"{at:%H:%M:%S}" if used().clock == "24 h" else f"{at.hour % 12 or 12}:{at:%M:%S} {_half(at)}"


def _half(at: datetime) -> str:
    return "am" if at.hour < 12 else "pm"


def countdown(seconds: float) -> str:
    """Say what is left: ``05:09``, ``1:05:09``. What is overdue counts up with a plus: ``+00:42``.

    A second that has begun still counts, so that 0 is shown only when nothing is left.
    """
    if not math.isfinite(seconds):
        return NOTHING
    over = seconds < 0
    whole = int(-seconds) if over else math.ceil(seconds)
    hours, rest = divmod(whole, 3600)
    minutes, rest = divmod(rest, 60)
    shown = f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes:02d}:{rest:02d}"
    return f"+{shown}" if over and whole else shown


def _digits(step_g: float) -> int:
    """Decimals that a step needs, at most three."""
    return next((digits for digits in range(3) if math.isclose(step_g * 10**digits, round(step_g * 10**digits))), 3)


def _rounded(value: float) -> int:
    """Half goes up, as on a scale; Python's own rounding would take 2.5 to 2."""
    return int(value + 0.5)


def _fixed(value: float, digits: int) -> str:
    quantum = Decimal(1).scaleb(-digits)
    text = str(Decimal(repr(value)).quantize(quantum, rounding=ROUND_HALF_UP)) if abs(value) < 1e15 else f"{value:.3g}"
    negative = text.startswith("-") and text.strip("-0.") != ""
    return f"−{text[1:]}" if negative else text.removeprefix("-")
