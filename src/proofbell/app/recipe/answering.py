"""The baker's answers to the guesses of one recipe: yes, the next of its words, or what is typed. Pure."""

from __future__ import annotations

from proofbell.app.recipe.recipe_rows import country_words
from proofbell.errors import Failure
from proofbell.recipe.answers import NO_INGREDIENT, YES, Answers, Key, may_be_right, read_answer
from proofbell.recipe.model import Guess


class Answering:
    """``said`` is what was answered; it is kept for lines that are gone as well, should they come back."""

    def __init__(self) -> None:
        self.said: dict[Key, str] = {}

    def yes(self, guess: Guess, text: str) -> bool:
        """It is right; said again: that is taken back. An answer of its own stays as it is. Whether it is answered now.

        Raises Failure: there is nothing to say yes to.
        """
        key = self._key(guess, text)
        if self.said.get(key) == YES:
            del self.said[key]
        elif key not in self.said:
            if not may_be_right(guess):
                raise Failure("Nothing to confirm yet.", "Press enter and type what it is.")
            self.said[key] = YES
        return key in self.said

    def no_ingredient(self, guess: Guess, text: str) -> None:
        """Its line names no ingredient; said again: it does. Raises Failure: the guess is not about such a line."""
        if not guess.may_go:
            raise Failure("This cannot be left out.", "Change the recipe's text.")
        if guess.said == NO_INGREDIENT:
            line = self._key(guess, text)[0]
            self.said = {key: said for key, said in self.said.items() if (key[0], said) != (line, NO_INGREDIENT)}
        else:
            self.said[self._key(guess, text)] = NO_INGREDIENT

    def other(self, guess: Guess, text: str) -> None:
        """The next of the words that can be said to it. Raises Failure: there are none."""
        if not guess.options:
            raise Failure("There are no answers to go through here.", "Press enter and type one.")
        # What was said last, not what was read of it since: keys may be quicker than the reading.
        key = self._key(guess, text)
        now = self.said.get(key, "")
        now = guess.value if now in ("", YES) else now
        at = guess.options.index(now) if now in guess.options else -1
        self.said[key] = guess.options[(at + 1) % len(guess.options)]

    def typed(self, guess: Guess, text: str, answer: str) -> None:
        """What was typed; nothing takes the answer back. Raises Failure: it is no answer to this guess."""
        if not answer.strip():
            self.said.pop(self._key(guess, text), None)
            return
        word = " ".join(answer.split()).casefold()
        named = [each for each in guess.options if country_words(each).casefold() == word]
        self.said[self._key(guess, text)] = named[0] if named else read_answer(guess, answer)

    def _key(self, guess: Guess, text: str) -> Key:
        return Answers.to(text, None).key(guess.line, guess.field)
