"""Technical words are explained where they first stand, and lead to the list of words."""

import re
from collections.abc import Iterable, Iterator

from markupsafe import escape

from felloe.report.telling.glossary_words import WORDS, Word

TAG = re.compile(r"(<[^>]*>)")
# text in these is no place for a link or a bracket
SILENT = ("style", "title", "code", "pre", "a", "dfn", "nav", "h1", "summary", "blockquote")
# here a word leads to the list of words, without a bracket
NARROW = ("h2", "h3", "h4", "th", "caption", "td", "dt", "figcaption")
VOID_TAGS = ("img", "meta", "link", "br", "hr", "input")


def explained(text: str, words: Iterable[Word] = WORDS) -> str:
    """
    Return a page whose technical words are explained where they first stand.

    In running text the word becomes a `dfn` with its short explanation behind it; in a table or
    heading it leads to the list of words, and is explained where running text first has it.

    Parameters
    ----------
    text : str
        The whole page; its list of words is an element of class `words`.
    words : iterable of Word, optional
        Those in its list.
    """
    start, end = text.index("<body"), text.index('<dl class="words"')
    told, linked = set(words), set(words)
    return text[:start] + "".join(pieces(text[start:end], told, linked)) + text[end:]


def pieces(text: str, told: set[Word], linked: set[Word]) -> Iterator[str]:
    """Yield tags as they are, and texts with words explained; sets hold what is still to do."""
    inside: list[str] = []
    for part in TAG.split(text):
        if part.startswith("<"):
            follow(part, inside)
            yield part
        elif any(tag in SILENT for tag in inside) or not part.strip():
            yield part
        else:
            yield in_text(part, any(tag in NARROW for tag in inside), told, linked)


def follow(part: str, inside: list[str]) -> None:
    """Keep account of the elements that a tag opens or closes."""
    name = re.match(r"</?([a-z0-9]+)", part)
    if name is None or name[1] in VOID_TAGS or part.endswith("/>"):
        return
    if part.startswith("</"):
        inside.pop()
    else:
        inside.append(name[1])


def in_text(text: str, narrow: bool, told: set[Word], linked: set[Word]) -> str:
    """Return a text with what is still to be explained in it."""
    wanted = linked if narrow else told
    found: list[tuple[int, int, str]] = []
    for word in sorted(wanted, key=lambda one: one.name):
        match = re.search(rf"(?<![\w-])(?:{word.forms})(?![\w-])", text)
        if match and not any(a < match.end() and match.start() < b for a, b, _ in found):
            found.append((match.start(), match.end(), replaced(match[0], word, narrow)))
            linked.discard(word)
            if not narrow:
                told.discard(word)
    for start, end, by in sorted(found, reverse=True):
        text = text[:start] + by + text[end:]
    return text


def replaced(said: str, word: Word, narrow: bool) -> str:
    """Return a word that leads to its explanation, and has it behind it in running text."""
    trailing = " " if said.endswith(" ") else ""
    link = f'<a class="word" href="#{word.anchor}">{said.rstrip()}</a>'
    if narrow or not word.short:
        return f"{link}{trailing}"
    return f"<dfn>{link}</dfn> ({escape(word.short)}){trailing}"
