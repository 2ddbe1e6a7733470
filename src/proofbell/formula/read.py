"""Reads a formula file: guard, parse, places, fields, rules, model, and everything odd or wrong at once."""

from __future__ import annotations

from typing import Any

from proofbell.errors import Failure
from proofbell.faults import Fault, Source
from proofbell.formula.batch import BATCH, DOUGH, OVEN, batch, check_batch, dough, oven
from proofbell.formula.findings import Findings
from proofbell.formula.foods.outside import is_outside
from proofbell.formula.ingredients import INGREDIENTS, Amounts, check_ingredients, ingredients
from proofbell.formula.kinds import Choice, Text
from proofbell.formula.made_for import check_makes
from proofbell.formula.model import Formula
from proofbell.formula.rules import check_stages
from proofbell.formula.stages import STAGES, stage
from proofbell.formula.tables import Draft, Field, Table
from proofbell.formula.text.guard import decoded, guard, place
from proofbell.formula.text.identity import digest_of
from proofbell.formula.text.parse import parsed
from proofbell.formula.text.positions import positions
from proofbell.formula.warnings import warn
from proofbell.visible import escaped, harmful_places

MOST_HARMFUL = 20

FORMULA = Table(
    "a formula",
    (
        Field("name", Text(80), "What the formula is called.", required=True),
        Field("about", Text(500, breaks=True), "One or two sentences on what it makes."),
        Field(
            "style",
            Choice("a style", ("lean", "enriched", "rye", "other")),
            "Picks the usual core temperatures and cautions.",
        ),
        Field("batch", BATCH, "How much is made."),
        Field("dough", DOUGH, "How the dough comes off the bench."),
        Field("oven", OVEN, "Heat, and the places that the batch takes."),
        Field("ingredients", INGREDIENTS, "What goes in, in the order of weighing.", required=True),
        Field("stages", STAGES, "What is done, in order.", required=True),
    ),
)


def load(text: str | bytes, name: str) -> Formula:
    """Return the formula in ``text``; raises `Failure` with every fault when there is one. ``name`` is the file's."""
    formula, faults = read_formula(text, name)
    if formula is None:
        errors = tuple(fault for fault in faults if fault.is_error)
        source = Source(name, decoded(text)[0])
        count, them = ("one fault", "it") if len(errors) == 1 else (f"{len(errors)} faults", "them")
        raise Failure(f"{name} has {count}.", f"Correct {them} and try again.", faults=faults, source=source)
    return formula


def read_formula(text: str | bytes, name: str) -> tuple[Formula | None, tuple[Fault, ...]]:
    """Return the formula, or None when it is refused, and all faults and warnings by line.

    ``name`` is what the file is called in messages. The formula keeps ``text`` as it was given, with its byte order
    mark and its line ends, so that the journal can give back the file that was opened.
    """
    del name  # a fault knows its line; who shows it knows the file
    decoded_text, fault = decoded(text)
    if fault is None:
        fault = guard(decoded_text)
    if fault is not None:
        return None, (fault,)
    clean, harmful = without_harmful(decoded_text)
    tree, fault = parsed(clean)
    if fault is not None:
        return None, in_order([*harmful, fault])
    findings = Findings(tree, positions(clean))
    findings.faults.extend(harmful)
    formula = _formula(findings, text if isinstance(text, str) else text.decode(), decoded_text)
    return formula, in_order(findings.faults)


def without_harmful(text: str) -> tuple[str, list[Fault]]:
    """Take out characters that nobody sees or that turn the text round, each a fault, so that the rest can be read."""
    faults: list[Fault] = []
    characters: list[str] | None = None
    for index, character in harmful_places(text, breaks=True):
        characters = list(text) if characters is None else characters
        characters[index] = "_"
        if len(faults) < MOST_HARMFUL:
            line, column = place(text, index)
            message = f"There is a character here that is not shown: {escaped(character)}."
            faults.append(Fault("error", message, "Take it out.", line=line, column=column))
    return ("".join(characters) if characters else text), faults


def in_order(faults: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: (fault.line, fault.column)))


def _formula(findings: Findings, text: str, bare_text: str) -> Formula | None:
    draft = FORMULA.read(findings.tree, (), findings)
    if not isinstance(draft, Draft):
        return None
    amounts = _rules(draft, findings)
    if findings.refused or amounts is None:
        return None
    inside, outside = ingredients(draft.get("ingredients"), draft.get("stages"), amounts, findings)
    preferments = {line.name.casefold(): line.name for line in inside if line.kind == "preferment"}
    formula = Formula(
        name=draft.get("name"),
        style=draft.get("style", "other"),
        batch=batch(draft.get("batch"), amounts.flour_g),
        dough=dough(draft.get("dough")),
        oven=oven(draft.get("oven")),
        ingredients=inside,
        stages=tuple(stage(each, preferments) for each in draft.get("stages")),
        about=draft.get("about", ""),
        text=text,
        digest=digest_of(bare_text),
        outside=outside,
    )
    warn(formula, findings)
    return formula


def _rules(draft: Draft, findings: Findings) -> Amounts | None:
    size: Draft | None = draft.get("batch")
    amounts = check_ingredients(draft.get("ingredients", ()), draft.get("stages", ()), size, findings)
    in_weights = any("weight" in each.given and not is_outside(each) for each in draft.get("ingredients", ()))
    if size is not None and not (in_weights and size.given <= {"loss", "weigh"}):
        check_batch(size, findings)
    elif size is None and "batch" not in draft.given and not in_weights:
        remedy = 'Add [batch] with pieces = 12 and piece = "75 g".'
        findings.error(("batch",), '"batch" is missing: how much is made.', remedy)
    wish: Draft | None = draft.get("oven")
    # A heat that was given and could not be read has its fault already; another about its lack would be noise.
    heated = wish is not None and "temperature" in wish.given
    check_stages(draft.get("stages", ()), 0.0 if heated else None, findings)
    check_makes(draft.get("stages", ()), draft.get("ingredients", ()), findings)
    return amounts


DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the schema as a tree ready for JSON (draft 2020-12)."""
    return {"$schema": DRAFT, "title": "Proofbell formula", **FORMULA.schema()}
