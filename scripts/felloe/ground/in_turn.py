"""Several functions called one after the other out of one set of keywords."""

import inspect
from collections.abc import Callable, Mapping, Sequence
from typing import Any


def in_turn(functions: Sequence[Callable[..., None]], named: Mapping[str, Any]) -> None:
    """
    Call functions in turn, each with those keywords that it names; with all if it takes any.

    Parameters
    ----------
    functions : sequence of callable
    named : mapping of str to value

    Raises
    ------
    TypeError
        If none of them takes a keyword.
    """
    asked = [keywords_of(function, named) for function in functions]
    if unknown := sorted(set(named).difference(*asked)):
        raise TypeError(f"no function takes {', '.join(unknown)}")
    for function, names in zip(functions, asked, strict=True):
        function(**{name: value for name, value in named.items() if name in names})


def keywords_of(function: Callable[..., None], named: Mapping[str, Any]) -> set[str]:
    """Return the keywords that a function takes; of one that takes any, all of these."""
    parameters = inspect.signature(function).parameters
    takes_any = any(each.kind is each.VAR_KEYWORD for each in parameters.values())
    return set(named) if takes_any else set(parameters)
