"""What is refused of ``for``: which preferment a stage makes, and where it stands in the file."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.formula.findings import Findings
from proofbell.formula.kinds import shown
from proofbell.formula.tables import Draft


def check_makes(stages: Sequence[Draft], ingredients: Sequence[Draft], findings: Findings) -> None:
    """Refuse a stage of what is no preferment here, or out of place: all of one together, the dough's last.

    A draft that could not be read has its own fault, and says nothing here.
    """
    kinds = {line.get("name", "").casefold(): line.get("kind") for line in ingredients}
    names = [line.get("name", "") for line in ingredients if line.get("kind") == "preferment"]
    over: set[str] = set()
    before: str | None = None
    dough = ""
    for stage in stages:
        made_for = _name(stage)
        if "for" not in stage.given:
            dough = dough or stage.get("name", "another stage")
        elif made_for is None or kinds.get(made_for, "") is None:
            continue
        elif kinds.get(made_for) != "preferment":
            _unknown(stage, known=made_for in kinds, names=names, findings=findings)
        elif dough:
            message = f"The dough has begun with {shown(dough)}; a preferment is made before that."
            findings.error(stage.at("for"), message, "Move this stage up, before the dough's first.")
        elif made_for in over:
            message = f"The stages of {shown(stage.get('for'))} stand apart."
            remedy = "List all stages of one preferment, then all of the other; they need not wait for each other."
            findings.error(stage.at("for"), message, remedy)
        if before is not None and before != made_for:
            over.add(before)
        before = made_for
    if stages and not dough and all("for" in stage.values for stage in stages):
        message = "No stage makes the dough: each is for a preferment."
        findings.error(stages[-1].at("for"), message, "Add the dough's own stages after them, without for.")


def _name(stage: Draft) -> str | None:
    name: str | None = stage.get("for")
    return None if name is None else name.casefold()


def _unknown(stage: Draft, *, known: bool, names: Sequence[str], findings: Findings) -> None:
    name: str = stage.get("for")
    what = 'is an ingredient, but not of kind "preferment"' if known else "is not an ingredient of this file"
    near = findings.nearest(name, names)
    hint = f'Did you mean "{near}"? ' if near else ""
    listed = ", ".join(f'"{each}"' for each in names if each)
    remedy = f"{hint}Preferments here: {listed}." if listed else "Take it out: without it, a stage makes the dough."
    findings.error(stage.at("for"), f"{shown(name)} {what}.", remedy)
