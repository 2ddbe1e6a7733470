"""An oven's heat as a card has it: "200 °C", "180 °C fan", "gas 6"; kept as what a conventional oven is set to."""

from __future__ import annotations

import re

from proofbell.formula.findings import Findings
from proofbell.formula.kinds import BAD, Bad, Schema, shown
from proofbell.formula.measures import Measure, pattern
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension

FAN_LESS_K = 20.0
"""How much lower a fan oven is set. Sources differ: 20 °C (BBC Good Food), 10 °C (others). The kitchen may say."""

GAS_MARKS_F = {"¼": 225.0, "½": 250.0, **{str(mark): 250.0 + 25 * mark for mark in range(1, 11)}}
"""The scale of British gas ovens: mark 1 is 275 °F and each mark 25 °F more; ½ is 250 °F and ¼ is 225 °F.

For instance the charts of Baumatic BO788 and of schools.
"""

_DEGREES = Measure(Dimension.TEMPERATURE, 40, 550)
_FAN = re.compile(r"(.*\S)\s+fan")
_GAS = re.compile(r"gas(?: mark)?\s+(\S+)")
_WRITTEN = {"1/4": "¼", "1/2": "½"}


@dataclass(frozen=True, slots=True)
class OvenHeat:
    """A heat, perhaps with "fan" behind it, or a gas mark in its place."""

    def read(self, value: object, path: Path, findings: Findings) -> float | Bad:
        """Return the conventional °C. A fan oven's heat is the usual 20 °C lower, a gas mark's is to the next 10 °C."""
        if not isinstance(value, str):
            return _DEGREES.read(value, path, findings)
        plain = value.strip()
        gas = _GAS.fullmatch(plain)
        if gas is not None:
            mark = _WRITTEN.get(gas[1], gas[1])
            if mark not in GAS_MARKS_F:
                findings.error(path, f"{shown(value)} is no gas mark.", 'Write "gas 6": ¼, ½, or 1 to 10.')
                return BAD
            return round((GAS_MARKS_F[mark] - 32) / 18 + 1e-9) * 10.0
        fan = _FAN.fullmatch(plain)
        read = _DEGREES.read(plain if fan is None else fan[1], path, findings)
        return read if fan is None or isinstance(read, Bad) else read + FAN_LESS_K

    def schema(self) -> Schema:
        """A string: a temperature, perhaps of a fan oven, or a gas mark."""
        marks = "|".join([*GAS_MARKS_F, *_WRITTEN])
        degrees = pattern(Dimension.TEMPERATURE)
        fan = f"{degrees.removesuffix('$')}( +fan *)?$"
        return {"type": "string", "anyOf": [{"pattern": fan}, {"pattern": f"^ *gas( mark)? +({marks}) *$"}]}
