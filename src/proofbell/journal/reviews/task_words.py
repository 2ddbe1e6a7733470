"""Tasks, and the prompts that they answer, in words."""

from __future__ import annotations

from proofbell.bake.tasks import Named, OvenKind, OvenTask, PromptId, Silenced, Skipped, Task, Weighed
from proofbell.bake.weigh.bowls import weighed_names
from proofbell.formula.model import Formula


def stage_name(formula: Formula, index: int | None) -> str:
    """The stage's name; its number when the formula has no such stage."""
    if index is None:
        return "no stage"
    return formula.stages[index].name if 0 <= index < len(formula.stages) else f"stage {index + 1}"


def task_words(task: Task, formula: Formula, ran: int | None = None) -> str:
    """A task in words: ``Oven on for Bake``. ``ran``: the stage that ran then."""
    match task:
        case OvenTask("oven off", stage) if ran is not None and ran < stage:
            return f"Oven off before {stage_name(formula, stage)}"
        case OvenTask(kind, stage):
            return f"{OVEN_WORDS[kind]} {stage_name(formula, stage)}"
        case Weighed(line):
            names = weighed_names(formula)
            return f"Weighed: {names[line] if 0 <= line < len(names) else f'line {line + 1}'}"
        case Silenced(prompt):
            return f"Alarm silenced: {_prompt_words(prompt, formula)}"
        case Skipped(check):
            return f"Check skipped in {stage_name(formula, check.stage)}"
        case Named(name):
            return name[:1].upper() + name[1:]


OVEN_WORDS: dict[OvenKind, str] = {
    "turn": "Tray turned in",
    "heat": "Heat changed in",
    "oven on": "Oven on for",
    "oven hot": "Oven hot for",
    "oven off": "Oven off after",
}


def _prompt_words(prompt: PromptId, formula: Formula) -> str:
    name = stage_name(formula, prompt.stage)
    match prompt.kind:
        case "start":
            return "planned start"
        case "due":
            return f"{name} due"
        case "check":
            return f"check in {name}"
        case "turn":
            return f"turn the tray in {name}"
        case "heat":
            return f"change the heat in {name}"
        case "timer":
            return "timer"
        case oven:
            words = OVEN_WORDS[oven]
            return f"{words[:1].lower()}{words[1:]} {name}"
