"""What a reading is asked for: which bake, which check is due, or which earlier reading is to be put right."""

from __future__ import annotations

from dataclasses import replace

from proofbell.app.reading.reading_words import Outcome, expected, outcome
from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.asking.offered import offered, read_for, read_next
from proofbell.bake.checks import answered, check_for
from proofbell.bake.decisions.reading_rules import far_from_expected
from proofbell.bake.readings import (
    LIMITS,
    ReadingError,
    is_temperature,
    kind_meant,
    meant_in_f,
    parse_reading,
    perhaps_degrees,
    with_its_unit,
)
from proofbell.bake.state import BakeState, Reading
from proofbell.bench.board import Coming
from proofbell.dough.probe import corrected_c
from proofbell.formula.model import Check, ReadingKind
from proofbell.frozen import dataclass
from proofbell.words import temperature


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of the bench. ``ring`` is the check that is due, ``corrects`` the reading to be put right."""

    live: Live
    bake: str
    ring: Coming | None = None
    corrects: Reading | None = None

    @property
    def state(self) -> BakeState | None:
        """The bake as it stands now, the stage that asks in hand; None once it is off the bench."""
        state = self.live.state(self.bake)
        return state if state is None or self.ring is None else replace(state, in_hand=self.ring.prompt.stage)

    @property
    def check(self) -> Check | None:
        state, ring = self.state, self.ring
        if state is None or ring is None or ring.prompt.check is None:
            return None
        return state.stage(ring.prompt.stage).checks[ring.prompt.check]

    @property
    def kinds(self) -> tuple[ReadingKind, ...]:
        """What can be read now, what is due first."""
        if self.corrects is not None:
            return (self.corrects.what,)
        state = self.state
        if state is None:
            return ("dough temperature",)
        return offered(state, self.wanted)

    @property
    def wanted(self) -> ReadingKind | None:
        """What is to be read now: for the check that is due, or else as the screen asks; None for nothing."""
        state = self.state
        if state is None:
            return None
        if self.ring is not None:
            return read_for(state, self.ring.prompt)
        board = self.live.board()
        view = board.of(self.bake)
        return read_next(state, () if view is None else view.wants, state.now_s(board.now))

    @property
    def title(self) -> str:
        state = self.state
        if state is None:
            return ""
        stage = "" if state.current is None else f" · {state.stage(state.current).name}"
        verb = "Correct a reading" if self.corrects else "Reading"
        return f"{verb} · {state.letter} {state.formula.name}{stage}"

    @property
    def ends_the_bake(self) -> bool:
        """Whether a bake is over with the reading that is asked for, and nothing else is asked before its end."""
        state, ring = self.state, self.ring
        if state is None or ring is None or not ring.prompt.ends or state.stage(ring.prompt.stage).kind != "bake":
            return False
        return not self.live.board().asks_first(state, unread=True)

    def went_by(self, ring: Coming) -> str:
        """Why a check that was asked for is so no more, in words; nothing where it is open yet, or off the bench."""
        state, number = self.live.state(self.bake), ring.prompt.check
        if state is None or number is None:
            return ""
        if ring.prompt.stage not in state.running:
            return f"{state.stage(ring.prompt.stage).name} is over."
        return "That was answered elsewhere." if answered(state, ring.prompt.stage, number) else ""

    def without_check(self) -> Asked:
        """The check was answered elsewhere; the reading may be said all the same."""
        return replace(self, ring=None)

    def expected(self, what: ReadingKind) -> str:
        """What is hoped for, in words; of the check that is due, or of the stage's own for what is read."""
        state = self.state
        if state is None:
            return ""
        found = self.check
        if state.current is None:
            found = None
        elif found is None or found.read != what:
            found = next((c for c in state.stage(state.current).checks if c.read == what), None)
        at_s = state.now_s(self.live.clock.stamp()) if self.corrects is None else self.corrects.at_s
        number = None if state.current is None else check_for(state, state.current, what, at_s)
        return expected(state, what, found, at_s, number if self.corrects is None else self.corrects.check)

    def intent(self, what: ReadingKind, typed: str, *, sure: bool) -> intents.Read | intents.Correct:
        """What saying it would be; ``sure`` when an odd value is said for the second time.

        Raises:
            ReadingError: it is no reading of this kind.
        """
        value = parse_reading(what, typed)
        eye, raw = (value, None) if isinstance(value, str) else (None, value)
        typed = with_its_unit(what, typed) if eye is None else eye
        if self.corrects is not None:
            return intents.Correct(self.corrects.number, typed, raw, eye, sure=sure)
        return intents.Read(what, typed, raw, eye, sure)

    def meant(self, what: ReadingKind, typed: str) -> ReadingKind | None:
        """The other reading that is offered and that what is typed is one of, by its unit; None: it is as it says."""
        return kind_meant(what, typed, self.kinds)

    def outcome(self, what: ReadingKind, typed: str, *, sure: bool, guessed: bool = False) -> Outcome | None:
        """What it would change; None while there is nothing to say. ``guessed``: its unit was, and nobody typed it."""
        state = self.state
        if state is None or not typed:
            return None
        in_f = meant_in_f(what, typed)
        if in_f:
            return Outcome((f"{typed} °C cannot be right. Is it {in_f}? Enter says so.",), refused=True)
        other = self.meant(what, typed)
        if other is not None:
            return Outcome((f"{typed} is a {other}: enter takes it as one.",), refused=True)
        try:
            intent = self.intent(what, typed, sure=sure)
        except ReadingError as error:
            return Outcome((str(error)[:1].upper() + str(error)[1:] + ".",), refused=True)
        doubt = "" if sure or intent.raw is None else self._doubt(state, what, typed, intent.raw, guessed=guessed)
        if doubt:
            return Outcome((doubt,), odd=True)
        board, decision = self.live.board(), self.live.preview(self.bake, intent)
        kept = self.bake in board.oven_kept
        return outcome(state, decision, board.now, board.before.get(self.bake), oven_kept=kept)

    def _doubt(self, state: BakeState, what: ReadingKind, typed: str, raw: float, *, guessed: bool) -> str:
        """What is to be asked of a number that may be meant as something else; nothing of most."""
        wanted = self.wanted if what == "rise" and self.corrects is None else None
        if wanted is not None and is_temperature(wanted) and perhaps_degrees(typed):
            return f"Is that {typed} {LIMITS[wanted].unit}? It stands as a rise; the {wanted} is asked for."
        if guessed and is_temperature(what):
            probe, at_s = state.kitchen.probe, state.now_s(self.live.clock.stamp())
            value_c = corrected_c(raw, probe.offset_k, probe.slope)
            expect = far_from_expected(state, what, value_c, at_s)
            if expect is not None:
                return f"{typed} is {temperature(value_c)}; {LIMITS[what].span(*expect)} is expected."
        return ""
