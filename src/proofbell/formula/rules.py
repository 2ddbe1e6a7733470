"""What is refused because two fields do not go together. Each rule looks only at what could be read."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell import words
from proofbell.formula.findings import Findings
from proofbell.formula.kinds import BAD, shown
from proofbell.formula.measures import NONE, Pair
from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import BY_READING, LIMITS
from proofbell.formula.stages import time_s
from proofbell.formula.tables import Draft


def check_stages(stages: Sequence[Draft], oven_c: float | None, findings: Findings) -> None:
    """Refuse two stages of one name, and within each stage what does not go together."""
    seen: set[str] = set()
    for stage in stages:
        name: str = stage.get("name", "")
        if name and name.casefold() in seen:
            message = f"Two stages are called {shown(name)}."
            findings.error(stage.at("name"), message, 'Give each its own name, such as "Second fold".')
        seen.add(name.casefold())
        _check_time(stage, findings)
        _check_bake(stage, oven_c, findings)
        for check in stage.get("checks", ()):
            _check_check(check, stage, findings)
            if stage.get("core") == NONE and check.get("read") == "core temperature":
                message = 'The bake says core = "none": there is no core to read.'
                findings.error(check.at("read"), message, "Take this check out, or give the bake a core temperature.")
        if "adjust" in stage.values:
            _check_adjust(stage.get("adjust"), stage, findings)


def _check_time(stage: Draft, findings: Findings) -> None:
    """A stage has one nominal length, and ``stretch`` holds it."""
    if "time" in stage.given and "phases" in stage.given:
        message = 'The phases say how long the bake is; "time" says it once more.'
        findings.error(stage.at("time"), message, "Keep one of the two.", at_key=True)
        return
    if "time" not in stage.given and "phases" not in stage.given:
        findings.error(stage.at("time"), '"time" is missing: how long the stage is.', 'Add a line time = "50 min"')
        return
    nominal, stretch = time_s(stage), stage.get("stretch")
    if nominal is None:
        return
    if nominal > 14 * 24 * 3600:
        findings.error(stage.at("phases"), "The phases are more than 14 days together.", "Make them shorter.")
    if stretch and not stretch[0] <= nominal <= stretch[1]:
        span = f"{words.length(stretch[0])} to {words.length(stretch[1])}"
        message = f"The stretch, {span}, does not hold the time, {words.length(nominal)}."
        findings.error(stage.at("stretch"), message, "Widen the stretch, or change the time.")


def _check_bake(stage: Draft, oven_c: float | None, findings: Findings) -> None:
    """A bake has a heat, and the tray is turned while it is in the oven."""
    if stage.get("kind") != "bake":
        return
    if oven_c is None and "phases" not in stage.given:
        remedy = 'Add [oven] with temperature = "190 °C", or phases with an oven temperature each.'
        findings.error(stage.path, "Nothing says how hot the oven is for this bake.", remedy)
    turn, nominal = stage.get("turn"), time_s(stage)
    if turn is not None and nominal is not None and turn >= nominal:
        message = f"The tray is turned at {words.length(turn)}, when the bake of {words.length(nominal)} is over."
        findings.error(stage.at("turn"), message, "Turn it earlier.")


def _check_check(check: Draft, stage: Draft, findings: Findings) -> None:
    """A check asks for what can be read at this stage, within it, and expects it in its own unit."""
    reading, kind = check.get("read"), stage.get("kind")
    if reading and kind and kind not in LIMITS[reading].stages:
        message = f'A {reading} cannot be read at a stage of kind "{kind}".'
        fitting = ", ".join(LIMITS[reading].stages)
        findings.error(check.at("read"), message, f"It fits stages of kind {fitting}.")
    when, nominal = check.get("when"), time_s(stage)
    stretch: tuple[float, float] | None = stage.get("stretch")
    if isinstance(when, float) and nominal is not None:
        longest = max(nominal, stretch[1] if stretch else 0.0)
        if when > longest:
            message = f"The check comes at {words.length(when)}; the stage is {words.length(longest)} at most."
            findings.error(check.at("when"), message, 'Put it earlier, or at the "end".')
    if reading and "expect" in check.values:
        Pair(LIMITS[reading].measure).read(check.get("expect"), check.at("expect"), findings)


def _check_adjust(adjust: Draft, stage: Draft, findings: Findings) -> None:
    """Each way to adjust has its own fields; what it may give is a length the stage can have."""
    if adjust.get("by") == "rate" and "at" not in adjust.given:
        remedy = 'Add at = "25 °C": the dough temperature that the time is right for.'
        findings.error(adjust.at("at"), '"at" is missing.', remedy)
    if adjust.get("by") == "bands":
        if "bands" not in adjust.given:
            remedy = 'Add bands = [ { below = "24 °C", time = "85 min" }, { time = "60 min" } ]'
            findings.error(adjust.at("bands"), '"bands" is missing.', remedy)
        unknown = "read" in adjust.given and "read" not in adjust.values
        _check_bands(adjust.get("bands", ()), None if unknown else adjust.get("read", BY_READING[0]), findings)
    if adjust.get("read") == "rise" and stage.get("kind") not in LIMITS["rise"].stages:
        findings.error(adjust.at("read"), "Nothing rises at this stage.", "Read the dough temperature.")


def _check_bands(bands: Sequence[Draft], reading: ReadingKind | None, findings: Findings) -> None:
    """Bounds rise from the top, and only the last band has none."""
    before: float | None = None
    for band in bands:
        last = band is bands[-1]
        if "below" not in band.given:
            if not last:
                message = "Only the last band goes without a bound; nothing below it would ever be used."
                findings.error(band.path, message, 'Add below = "24 °C", or put this band last.')
            continue
        if last:
            message = "The last band has a bound, so a reading above it has no time."
            findings.error(band.at("below"), message, 'Add a last band with a time only: { time = "55 min" }.')
        if "below" not in band.values or reading is None:
            continue
        bound = LIMITS[reading].measure.read(band.get("below"), band.at("below"), findings)
        if bound is BAD or not isinstance(bound, float):
            continue
        if before is not None and bound <= before:
            message = f"The bound {shown(band.get('below'))} is not above the one before it."
            findings.error(band.at("below"), message, "Let the bounds rise from band to band.")
        before = bound
