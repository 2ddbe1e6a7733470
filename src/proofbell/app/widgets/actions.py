"""Every action of the app, once: its key, its word on the key row, its help. Bindings, palette, help and docs follow.

A key can be changed in the kitchen file under ``[keys]`` by the action's id; two actions of one screen on one key are
refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from textual.binding import Binding
from textual.keys import key_to_character

from proofbell.errors import Failure
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a person can do on the screen that its id begins with.

    ``keys`` are Textual's key names; the first is shown. ``rank`` orders the key row: the lowest stay when the terminal
    is narrow; 0 is never on the row.
    """

    id: str
    keys: tuple[str, ...]
    word: str
    help: str
    rank: int = 0

    @property
    def screen(self) -> str:
        return self.id.partition(".")[0]

    @property
    def method(self) -> str:
        return self.id.rsplit(".", 1)[-1].replace("-", "_")


ACTIONS: tuple[Action, ...] = (
    Action("bench.done", ("space", "enter"), "done", "End the current stage, or begin the bake.", 1),
    Action("bench.reading", ("r",), "reading", "Take a reading: temperature, rise or weight; or type its number.", 2),
    Action("bench.longer", ("l", "plus"), "longer", "Five more minutes, or as many as a low core needs.", 3),
    Action("bench.shorter", ("s", "minus"), "shorter", "Take five minutes off the current stage.", 8),
    Action("bench.moved", ("m",), "moved", "Where the dough stands: room, fridge, another place; since when.", 7),
    Action("bench.ended-earlier", ("e",), "ended earlier", "The stage ended a while ago: say how long.", 8),
    Action("bench.note", ("n",), "note", "Add a note to the log.", 5),
    Action("bench.undo", ("u",), "undo", "Undo the last entry.", 4),
    Action("bench.weigh-out", ("w",), "weigh-out", "What to weigh, and how warm the liquid should be.", 6),
    Action("bench.size", ("d",), "size", "Another size: more pieces, less flour; what to add to the bowl.", 10),
    Action("bench.edit", ("E",), "edit the formula", "Edit its file, for the next bake; this one keeps its text."),
    Action("bench.quiet", ("q",), "quiet", "Silence the alarm; the task stays due.", 7),
    Action("bench.quiet-all", ("Q",), "quiet all", "Silence every alarm."),
    Action("bench.next-dough", ("tab",), "next", "Go to the next dough that needs something.", 7),
    Action("bench.dough-after", ("j", "down"), "dough after", "The dough one row below."),
    Action("bench.dough-before", ("k", "up"), "dough before", "The dough one row above."),
    Action("bench.row-up", ("less_than_sign", "shift+up"), "row up", "Move the selected dough one row up."),
    Action("bench.row-down", ("greater_than_sign", "shift+down"), "row down", "Move the selected dough one row down."),
    Action("bench.other", ("i",), "other preferment", "Take the other preferment in hand, or begin it now."),
    Action("bench.yes", ("Y",), "yes", "Do as the plan asks: hold a stage, cut it short, begin later."),
    Action("bench.no", ("N",), "no", "Leave it as it is; the plan does not ask again."),
    Action("bench.oven", ("o",), "oven", "Say that the oven is on, hot, or that the tray is turned.", 6),
    Action("bench.why", ("y",), "why", "Show how the running time was worked out."),
    Action("bench.far", ("f",), "far view", "Show the most urgent dough full-screen.", 8),
    Action("bench.start", ("a",), "add a bake", "Choose a formula, size it, and begin.", 8),
    Action("bench.plan", ("p",), "plan", "Plan several doughs for a given time.", 9),
    Action("bench.journal", ("J",), "journal", "Every bake ever made.", 9),
    Action("bench.kitchen", ("K",), "kitchen", "The facts of this kitchen, and the probe check.", 9),
    Action("bench.give-up", ("X",), "give up", "End the selected bake, unfinished."),
    Action("bench.put-away", ("c",), "put away", "Take a finished bake off the bench; it stays in the journal."),
    Action("bench.log", ("b",), "the log", "Show the selected bake's log; correct a reading.", 8),
    Action("bench.whole-day", ("z",), "whole day", "Show the strips to their end, or the next hours.", 9),
    Action("bench.timer", ("t",), "timer", "A timer of your own: set one, or stop one.", 9),
    Action("bench.time", ("T",), "time in doubt", "Say how long the power was off, or change the answer."),
    Action("bench.go-on", ("full_stop",), "go on", "In a rehearsal: skip to the next task."),
    Action("bench.trouble", ("exclamation_mark",), "what is wrong", "What is wrong, and what to do."),
    Action("bench.help", ("question_mark",), "all keys", "Every key of this screen.", 1),
    Action("bench.suspend", ("ctrl+z",), "put aside", "Back to the shell for a while; fg brings it back.", 0),
    Action("bench.leave", ("ctrl+q",), "leave", "Close the program; the bakes keep running.", 0),
    Action("reading.take", ("enter",), "take", "Enter the reading; an unusual one is asked for twice.", 1),
    Action("reading.later", ("escape",), "later", "Close; a check that is due comes again.", 2),
    Action("reading.after", ("down",), "other reading", "Read something else.", 3),
    Action("reading.before", ("up",), "reading before", "Read something else."),
    Action("reading.skip", ("x",), "skip the check", "Skip this check; the log says so.", 4),
    Action("reading.not-yet", ("n",), "not yet", "The rise, by eye: it needs more time."),
    Action("reading.ready", ("y",), "ready", "The rise, by eye: it is ready."),
    Action("reading.too-far", ("t",), "too far", "The rise, by eye: it has gone too far."),
    Action("time.take", ("enter",), "right", "The power was off for the time shown.", 1),
    Action("time.later", ("escape",), "later", "Close; the bench keeps warning that its times are in doubt.", 2),
    Action("far.answer", ("space", "enter"), "done", "Mark what the large letters ask for as done.", 1),
    Action("far.reading", ("r",), "reading", "Type a reading of the dough that is shown, or its number at once.", 2),
    Action("far.leave", ("escape", "f"), "back", "Back to the bench.", 3),
    Action("far.longer", ("l",), "longer", "Five more minutes, or as long as a core or a rise still needs."),
    Action("far.moved", ("m",), "moved", "Where the dough that is shown stands now."),
    Action("far.undo", ("u",), "undo", "Take back the last thing said."),
    Action("far.help", ("question_mark",), "all keys", "Every key of this screen."),
    Action("log.correct", ("enter", "r"), "correct", "Give the reading under the cursor another value.", 1),
    Action("log.back", ("escape", "b"), "back", "Back to the bench.", 2),
    Action("log.help", ("question_mark",), "all keys", "Every key of this screen.", 3),
    Action("start.begin", ("b",), "begin", "Put the chosen formula on the bench, or into the plan, at this size.", 1),
    Action("start.size", ("enter",), "size", "To the fields of its size and of how warm it is today.", 1),
    Action("start.search", ("slash",), "search", "Search the formulas by name and style as you type.", 3),
    Action("start.open-file", ("o",), "open", "Take a formula from a file of your own.", 4),
    Action("start.new", ("n",), "recipe", "Make a formula from a recipe as it is written.", 3),
    Action("start.edit", ("e",), "edit", "Open the formula's file in your editor; checked when that closes.", 3),
    Action("start.change", ("c",), "figures", "Change amounts, times and heats of the formula here.", 4),
    Action("start.yeast", ("y",), "other yeast", "Switch between fresh, active dry and instant yeast.", 4),
    Action("start.back", ("escape",), "back", "Back to the bench.", 2),
    Action("start.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("recipe.save", ("ctrl+s",), "save", "Save it as a formula among your own.", 1),
    Action("recipe.turn", ("tab",), "text or reading", "From the text to what was read of it, and back.", 1),
    Action("recipe.yes", ("y",), "yes", "The guess under the cursor is right; again: take that back.", 2),
    Action("recipe.change", ("c",), "change", "Another answer to the guess under the cursor; enter too.", 3),
    Action("recipe.no-ingredient", ("x",), "no ingredient", "Its line is no ingredient: left out. Again: it is.", 5),
    Action("recipe.other", ("right", "l"), "next answer", "The next of the answers that can be given.", 5),
    Action("recipe.empty", ("ctrl+n",), "start empty", "Throw away what was typed and begin another.", 6),
    Action("recipe.back", ("escape",), "back", "Back; what was typed is kept for the next time.", 4),
    Action("recipe.help", ("f1", "question_mark"), "all keys", "Every key of this screen.", 3),
    Action("weigh.tick", ("space",), "in the bowl", "Tick an ingredient as weighed, or untick it.", 1),
    Action("weigh.begin", ("b",), "begin", "Begin the first stage and go back to the bench.", 2),
    Action("weigh.size", ("d",), "size", "Another size: more pieces, less flour; what to add to the bowl.", 4),
    Action("weigh.undo", ("u",), "undo", "Undo the last tick, or another size.", 4),
    Action("weigh.why", ("y",), "why so warm", "How the liquid's temperature was worked out.", 5),
    Action("weigh.yeast", ("f",), "other yeast", "What other forms of yeast would weigh.", 6),
    Action("weigh.edit", ("e",), "edit the formula", "Edit its file, for the next bake; this one keeps its text.", 7),
    Action("weigh.back", ("escape",), "back", "Back to the bench.", 3),
    Action("weigh.help", ("question_mark",), "all keys", "Every key of this screen.", 3),
    Action("first.next", ("enter",), "next", "The next question; after the last, write the answers.", 1),
    Action("first.right", ("right", "space"), "change", "The answer to the right.", 3),
    Action("first.left", ("left",), "change back", "The answer to the left."),
    Action("first.ring", ("r",), "ring the bell", "Ring once, to hear whether it can be heard.", 3),
    Action("first.heard", ("y",), "heard", "The bell was heard."),
    Action("first.not-heard", ("n",), "not heard", "The bell was not heard."),
    Action("first.back", ("escape",), "skip the rest", "Ask nothing more; everything is on the kitchen page later.", 1),
    Action("first.help", ("question_mark",), "all keys", "Every key of this screen.", 4),
    Action("edit.change", ("enter",), "change", "Change the figure under the cursor.", 1),
    Action("edit.save", ("s",), "save, go on", "Write what was changed into the file, and go back.", 2),
    Action("edit.editor", ("e",), "in the editor", "Open the file in your editor; checked when that closes.", 3),
    Action("edit.back", ("escape",), "leave", "Back to where you came from; asks about what is not saved.", 2),
    Action("edit.help", ("question_mark",), "all keys", "Every key of this screen.", 4),
    Action("kitchen.check-probe", ("c",), "check the probe", "Check it in ice and in boiling water.", 2),
    Action("kitchen.ring", ("r",), "ring the bell", "Ring once, to hear whether it can be heard.", 3),
    Action("kitchen.learned", ("l",), "what was learned", "What past bakes say about this kitchen.", 3),
    Action("learned.back", ("escape",), "back", "Back to the kitchen.", 1),
    Action("learned.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("kitchen.back", ("escape",), "back", "Back to the bench.", 1),
    Action("kitchen.help", ("question_mark",), "all keys", "Every key of this screen.", 1),
    Action("probe.write", ("ctrl+s",), "write", "Write the correction into the kitchen file.", 2),
    Action("probe.back", ("escape",), "back", "Back, and write nothing.", 1),
    Action("probe.help", ("f1",), "all keys", "Every key of this screen.", 2),
    Action("bake.next-view", ("right", "tab"), "next view", "The view to the right.", 1),
    Action("bake.view-before", ("left", "shift+tab"), "view before", "The view to the left."),
    Action("bake.score", ("s",), "score", "Open the score sheet.", 3),
    Action("bake.log", ("l",), "log", "Everything that was entered in this bake.", 7),
    Action("bake.note", ("n",), "note", "Write a note into its log.", 4),
    Action("bake.typical", ("m",), "not typical", "Mark as not typical (nothing is learned), or unmark.", 6),
    Action("bake.export", ("e",), "export", "Write it to a file: text, table, everything, or a picture.", 5),
    Action("bake.formula", ("w",), "formula to file", "Write its formula to a file, as it was opened.", 8),
    Action("bake.back", ("escape",), "back", "Back to where you came from.", 2),
    Action("bake.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("journal.search", ("slash",), "search", "Search formulas, notes and outcomes as you type.", 1),
    Action("journal.sort", ("s",), "sort", "Sort by the next column.", 3),
    Action("journal.turn", ("S",), "reverse", "Sort the other way round."),
    Action("journal.mark", ("space",), "mark", "Mark up to two bakes to compare or export.", 4),
    Action("journal.compare", ("c",), "compare", "Two bakes side by side.", 4),
    Action("journal.course", ("r",), "over time", "The formula under the cursor over all its bakes.", 3),
    Action("journal.export", ("e",), "export", "Write the marked bakes, or all shown, to a file.", 5),
    Action("journal.formula", ("w",), "formula to file", "Write the bake's formula to a file, as opened.", 9),
    Action("journal.which", ("f",), "finished …", "Only finished, given up, unfinished or unscored.", 6),
    Action("journal.when", ("t",), "this week …", "Only this week's, month's or year's.", 7),
    Action("journal.points", ("p",), "points", "Only with many points, or with few.", 8),
    Action("journal.alike", ("o",), "only these", "Only the formula under the cursor, or all again.", 8),
    Action("journal.everything", ("x",), "clear filters", "All bakes: no search, no filter.", 8),
    Action("journal.verify", ("v",), "verify", "Check every log; press again to stop.", 9),
    Action("journal.backup", ("B",), "backup", "Copy the whole journal to a file and check the copy.", 9),
    Action("journal.back", ("escape",), "back", "Back to the bench.", 2),
    Action("journal.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("course.back", ("escape",), "back", "Back to the journal.", 1),
    Action("course.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("compare.only", ("d",), "only differences", "Hide identical lines, or show them.", 2),
    Action("compare.left", ("left", "1"), "the earlier", "Open the earlier bake.", 3),
    Action("compare.right", ("right", "2"), "the later", "Open the later bake.", 3),
    Action("compare.back", ("escape",), "back", "Back to the journal.", 1),
    Action("compare.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("plan.add", ("a",), "add a bake", "Choose a formula and its size.", 1),
    Action("plan.begin", ("b",), "begin all", "Put all on the bench; each waits for its start and rings.", 2),
    Action("plan.earlier", ("left", "h"), "earlier", "Move the bake under the cursor five minutes earlier.", 5),
    Action("plan.later", ("right", "l"), "later", "Move the bake under the cursor five minutes later.", 5),
    Action("plan.ready", ("r",), "ready by", "Set when all should be ready; enter on a bake: its own time.", 3),
    Action("plan.shop", ("s",), "shop", "All that the doughs need together, and what leaves the fridge when.", 4),
    Action("plan.sheet", ("e",), "sheet", "Write the day for the wall to a file: a page to print, or text.", 7),
    Action("plan.first-way", ("1",), "first way out", "Take the first way out of a clash."),
    Action("plan.second-way", ("2",), "second way out", "Take the second way out of a clash."),
    Action("plan.third-way", ("3",), "third way out", "Take the third way out of a clash."),
    Action("plan.drop", ("d", "delete"), "drop", "Take the bake under the cursor out of the plan.", 6),
    Action("plan.back", ("escape",), "back", "Back to the bench; asks before a plan is forgotten.", 3),
    Action("plan.help", ("question_mark",), "all keys", "Every key of this screen.", 3),
    Action("shop.back", ("escape",), "back", "Back to the plan.", 1),
    Action("shop.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
    Action("why.back", ("escape",), "back", "Back to where you came from.", 1),
    Action("why.help", ("question_mark",), "all keys", "Every key of this screen.", 2),
)
"""In the order in which help lists them."""


def of_screen(screen: str, actions: Iterable[Action] = ACTIONS) -> tuple[Action, ...]:
    return tuple(action for action in actions if action.screen == screen)


def bindings(screen: str) -> list[Binding]:
    """Textual bindings for a screen; each is named by its action, so that the kitchen file can move it."""
    return [
        Binding(",".join(action.keys), action.method, action.word, id=action.id, tooltip=action.help, show=False)
        for action in of_screen(screen)
    ]


def with_keys(changed: Mapping[str, str]) -> tuple[Action, ...]:
    """The actions with the kitchen file's own keys.

    Raises Failure: an action is not known, or two actions of a screen would share a key.
    """
    moved = tuple(
        replace(action, keys=tuple(changed[action.id].split(","))) if action.id in changed else action
        for action in ACTIONS
    )
    unknown = sorted(set(changed) - {action.id for action in moved})
    if unknown:
        raise Failure(f"There is no action {unknown[0]!r} to give a key.", "The actions are listed under ? in the app.")
    seen: dict[tuple[str, str], str] = {}
    for action in moved:
        for key in action.keys:
            other = seen.setdefault((action.screen, key), action.id)
            if other != action.id:
                raise Failure(
                    f"The key {key} is set for both {other} and {action.id}.", "Give one of them another key."
                )
    return moved


_NAMES = {
    "space": "space",
    "slash": "/",
    "minus": "−",
    "escape": "esc",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
}


def key_name(key: str) -> str:
    """A key as it stands on the key row."""
    if key in _NAMES:
        return _NAMES[key]
    character = key_to_character(key)
    return character if character is not None and character.isprintable() and character != " " else key
