"""Ingredients of the dough that do not go in with the first: at which stage each goes into the bowl."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.formula.dough_stages import bake_begins, divided_by_proofs
from proofbell.formula.findings import Findings
from proofbell.formula.kinds import shown
from proofbell.formula.tables import Draft
from proofbell.formula.text.positions import Path


def added_at(draft: Draft, drafts: Sequence[Draft], stages: Sequence[Draft]) -> tuple[int, ...]:
    """The stage (its index) at which a line of the dough goes in; none for what goes in as the dough begins."""
    index = _named(draft, stages)
    return () if index is None or index == _dough_begins(drafts, stages) else (index,)


def check_added_later(drafts: Sequence[Draft], stages: Sequence[Draft], size: Draft | None, findings: Findings) -> None:
    """Refuse an ``at`` of the dough's own lines (``drafts``) at which nothing can go into the dough."""
    later = [draft for draft in drafts if "at" in draft.given]
    for draft in later:
        if refuse_unknown(draft, stages, findings) or _refuse_line(draft, findings):
            continue
        _refuse_stage(draft, drafts, stages, size, findings)
    if later and all(added_at(draft, drafts, stages) for draft in drafts):
        message = "Everything goes in later, and nothing as the dough is begun."
        findings.error(later[0].at("at"), message, "Take at out of what is mixed first.", at_key=True)


def refuse_unknown(draft: Draft, stages: Sequence[Draft], findings: Findings) -> bool:
    """Refuse stages in ``at`` that are not there; whether there were any."""
    names = [name for stage in stages if (name := stage.get("name"))]
    known = {name.casefold() for name in names}
    unknown = [(number, wanted) for number, wanted in enumerate(draft.get("at", ())) if wanted.casefold() not in known]
    for number, wanted in unknown:
        listed = isinstance(findings.tree["ingredients"][draft.path[-1]].get("at"), list)
        path: Path = (*draft.at("at"), number) if listed else draft.at("at")
        near = findings.nearest(wanted, names)
        hint = f'Did you mean "{near}"? ' if near else ""
        stated = ", ".join(f'"{name}"' for name in names[:12])
        findings.error(path, f"There is no stage {shown(wanted)}.", f"{hint}The stages are: {stated}.")
    return bool(unknown)


def _refuse_line(draft: Draft, findings: Findings) -> bool:
    """Refuse ``at`` on what the dough begins with, and more than one stage; whether it was refused."""
    message = remedy = ""
    if draft.get("heat") is True:
        message = "The liquid that sets the dough's temperature goes in as the dough is begun."
        remedy = "Take at out; or put what goes in later on a line of its own, without heat."
    elif len(draft.get("at", ())) > 1:
        message, remedy = "It goes into the dough once.", "Name one stage; or make it two lines, each with its share."
    if message:
        findings.error(draft.at("at"), message, remedy, at_key=True)
    return bool(message)


def _refuse_stage(
    draft: Draft, drafts: Sequence[Draft], stages: Sequence[Draft], size: Draft | None, findings: Findings
) -> None:
    """Refuse a stage at which nobody has the dough in one piece in hand."""
    index, begins = _named(draft, stages), _dough_begins(drafts, stages)
    kinds = [stage.get("kind") for stage in stages]
    if index is None or None in kinds:
        return
    stage = stages[index]
    if begins is None:
        message = "The file does not tell which stages make the dough."
        findings.error(draft.at("at"), message, "Add for to the stages that make the preferment.")
        return
    baked = bake_begins(kinds)
    pieces: float = 1 if size is None else size.get("pieces", 1)
    divided = divided_by_proofs(kinds, begins) if pieces > 1 else None
    last = baked if divided is None else divided
    name = shown(stage.get("name"))
    if "for" in stage.given:
        message = f"{name} makes {shown(stage.get('for', 'a preferment'))}, and not the dough."
    elif index >= baked:
        message = f"By {name} the dough is in the oven."
    elif stage.get("kind") != "hands":
        message = f"{name} is of kind {shown(stage.get('kind'))}: nobody has the dough in hand then."
    elif index >= last:
        message = f"At {name} the dough is in pieces."
    else:
        return
    fitting = [
        f'"{each.get("name")}"'
        for number, each in enumerate(stages)
        if begins <= number < last and kinds[number] == "hands" and "for" not in each.given
    ]
    listed = f"It may be {' or '.join(fitting)}." if fitting else "Take it out."
    findings.error(draft.at("at"), message, listed)


def _named(draft: Draft, stages: Sequence[Draft]) -> int | None:
    """The stage (its index) that ``at`` names first."""
    wanted = [name.casefold() for name in draft.get("at", ())][:1]
    return next((index for index, stage in enumerate(stages) if stage.get("name", "").casefold() in wanted), None)


def _dough_begins(drafts: Sequence[Draft], stages: Sequence[Draft]) -> int | None:
    """As ``Formula.dough_begins``, of what is not yet a formula."""
    if all(draft.get("kind") != "preferment" for draft in drafts):
        return 0
    if all("for" not in stage.given for stage in stages):
        return None
    return next((index for index, stage in enumerate(stages) if "for" not in stage.given), None)
