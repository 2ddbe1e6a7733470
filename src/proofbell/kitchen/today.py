"""How warm it is for one bake, where that was typed: a layer over the kitchen's own facts, which stay as they are."""

from __future__ import annotations

from dataclasses import dataclass, replace

from proofbell.kitchen.model import Kitchen


@dataclass(frozen=True, slots=True)
class Today:
    """Temperatures (°C) that hold for one bake. None: as the kitchen has it; ``places`` are those that it lacks."""

    room_c: float | None = None
    flour_c: float | None = None
    fridge_c: float | None = None
    places: tuple[tuple[str, float], ...] = ()

    def over(self, kitchen: Kitchen) -> Kitchen:
        """The kitchen as one bake finds it."""
        return replace(
            kitchen,
            room_c=kitchen.room_c if self.room_c is None else self.room_c,
            flour_c=kitchen.flour_c if self.flour_c is None else self.flour_c,
            fridge_c=kitchen.fridge_c if self.fridge_c is None else self.fridge_c,
            places=(*kitchen.places, *self.places),
        )
