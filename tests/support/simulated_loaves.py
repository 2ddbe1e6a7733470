"""Loaves that bake in numbers: heat into a body of dough whose water boils off, told by its core.

Apart from the bakes that the outlook's curve was made from: other code, any body between slab and ball, steam that
carries heat inward, an oven that falls as it is loaded. Conductivity and water as published for bread (Zanoni, Peri
and Pierucci 1993, J. Food Eng. 19:389; Jury et al. 2007, J. Food Eng. 78:976), from memory.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

SHELLS, STEP_S, BOILS_C, LATENT = 10, 4.0, 100.0, 2.26e6


@dataclass(frozen=True)
class Loaf:
    """Core temperatures (°C), one every `STEP_S`, of a dough that went in at ``dough_c``."""

    dough_c: float
    core_c: tuple[float, ...]

    def at_s(self, wanted_c: float) -> float:
        """When the core is there (s)."""
        index = next(i for i, each in enumerate(self.core_c) if each >= wanted_c)
        low, high = self.core_c[index - 1], self.core_c[index]
        return STEP_S * (index - 1 + (wanted_c - low) / (high - low))


def loaf(chance: random.Random, until_c: float = 95.0) -> Loaf:
    """A loaf of chance size, shape, dough and oven, baked until its core is at ``until_c``."""
    half_m, bend = chance.uniform(0.022, 0.055), chance.choice((0.0, 0.5, 1.0, 1.5, 2.0))
    rho, dough_c, film = chance.uniform(350, 700), chance.uniform(6, 32), chance.uniform(12, 32)
    oven_c, falls_k = chance.uniform(180, 245), chance.uniform(0, 40)
    width = half_m / SHELLS
    faces = [(i * width) ** bend for i in range(SHELLS + 1)]
    volumes = [((i + 1) ** (bend + 1) - i ** (bend + 1)) * width ** (bend + 1) / (bend + 1) for i in range(SHELLS)]
    temps, water = [dough_c] * SHELLS, [0.42 * rho] * SHELLS
    core: list[float] = [dough_c]
    while core[-1] < until_c and len(core) < 5000:
        air_c = oven_c - falls_k * math.exp(-len(core) * STEP_S / 400)
        for _ in range(2):
            flow = [0.0] * (SHELLS + 1)
            for i in range(1, SHELLS):
                mean_c = (temps[i] + temps[i - 1]) / 2
                carries = 0.2 + 0.2 / (1 + math.exp(-(mean_c - 60) / 8)) + 0.25 * math.exp(-(((mean_c - 92) / 15) ** 2))
                flow[i] = faces[i] * carries * (temps[i] - temps[i - 1]) / width
            crust = 0.07 if water[-1] < 0.1 * rho else 0.4
            flow[SHELLS] = faces[SHELLS] * (air_c - temps[-1]) / (1 / film + width / 2 / crust)
            for i in range(SHELLS):
                heat = (flow[i + 1] - flow[i]) * STEP_S / 2 / volumes[i]
                temps[i] += heat / (rho * 1500 + water[i] * 2700)
                if temps[i] > BOILS_C and water[i] > 0.05 * rho:
                    water[i] -= (temps[i] - BOILS_C) * (rho * 1500 + water[i] * 2700) / LATENT
                    temps[i] = BOILS_C
        core.append(temps[0])
    return Loaf(dough_c, tuple(core))
