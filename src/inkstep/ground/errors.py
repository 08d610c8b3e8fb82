"""One base for every error a user may see."""

from __future__ import annotations


class InkstepError(Exception):
    """Something a user can mend: what was expected, where, what was got, what to do.

    The fields stay on the exception; the sentence is made when it is asked for.
    """

    exit_code = 1

    def __init__(self, expected: str, *, where: str = "", got: str = "", hint: str = "") -> None:
        super().__init__(expected)
        self.expected = expected
        self.where = where
        self.got = got
        self.hint = hint

    def __str__(self) -> str:
        sentence = f"{self.where}: " if self.where else ""
        sentence += f"expected {self.expected}"
        if self.got:
            sentence += f", got {self.got}"
        if self.hint:
            sentence += f"; {self.hint}"
        return sentence


class InputError(InkstepError):
    """The input (a puzzle, a sheet, a plan) is at fault: exit code 1."""


class UsageError(InkstepError):
    """The command was called in a way it does not take: exit code 2."""

    exit_code = 2


def shown(text: str, most: int = 40) -> str:
    """``text`` in quotes, shortened to ``most`` characters, control characters escaped.

    >>> shown("r3c6 = x")
    "'r3c6 = x'"
    """
    return repr(text if len(text) <= most else text[: most - 1] + "…")
