"""The words of wheel, page and cards, from one file for each language."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from felloe.ground.files.numbers import shown
from felloe.ground.language_tags import ENGLISH, wider_tags

READS = ("report/languages/*.yaml",)
FOLDER = Path(__file__).parent
POINT = re.compile(r"(?<=\d)\.(?=\d)")


@dataclass(frozen=True)
class Words(Mapping[str, str]):
    """
    The words of one language, by keys such as `cards.caution`.

    Attributes
    ----------
    language : str
        Tag of the language that the words are in: of the file they were read from.
    asked : str
        Tag of the language that they were asked for.
    texts : mapping of str to str
    """

    language: str
    asked: str
    texts: Mapping[str, str]

    def __getitem__(self, key: str) -> str:
        return self.texts[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.texts)

    def __len__(self) -> int:
        return len(self.texts)

    def fill(self, key: str, **values: object) -> str:
        """
        Return a text with its {places} filled.

        Raises
        ------
        KeyError
            If there is no such key, or a place is given no value.
        """
        return self.texts[key].format_map(values)

    def group(self, name: str) -> dict[str, str]:
        """Return the texts of a group, such as `page`, by what follows its name."""
        start = f"{name}."
        return {
            key.removeprefix(start): text
            for key, text in self.texts.items()
            if key.startswith(start)
        }

    def counted(self, key: str, number: int) -> str:
        """Return a number with the word for what is counted: a key such as `page.count.term`."""
        form = "one" if number == 1 else "many"
        return self.fill(f"{key}.{form}", number=self.number(number, "count"))

    def number(self, value: Any, style: str) -> str:
        """Return a number as `shown` does, with this language's decimal sign."""
        return POINT.sub(self.texts["numbers.decimal_sign"], shown(value, style))

    @property
    def notice(self) -> str:
        """The line for the log where there is no file for what was asked, else ""."""
        if self.language in wider_tags(self.asked):
            return ""
        return (
            f"There are no interface words in '{self.asked}': products have those in "
            f"'{self.language}'. Put a file {self.asked}.yaml beside {ENGLISH}.yaml in "
            f"scripts/felloe/report/{FOLDER.name}/."
        )


def interface_words(language: str) -> Words:
    """
    Return the words of a language.

    Parameters
    ----------
    language : str
        Tag. Without a file of its own the next wider tag is looked for (`de-AT`, then `de`),
        in the end English.

    Returns
    -------
    Words
    """
    return words_in(FOLDER, language)


def words_in(folder: Path, language: str) -> Words:
    """Return the words of a language from the files of a folder; see `interface_words`."""
    there = languages_in(folder)
    found = next((tag for tag in wider_tags(language) if tag in there), ENGLISH)
    return Words(found, language, texts_of(found, folder))


def known_languages() -> list[str]:
    """Return the tags of the languages that have a file, sorted."""
    return languages_in(FOLDER)


def languages_in(folder: Path) -> list[str]:
    """Return the tags of the languages that have a file in a folder, sorted."""
    return sorted(path.stem for path in folder.glob("*.yaml"))


@cache
def texts_of(language: str, folder: Path = FOLDER) -> Mapping[str, str]:
    """Return the texts of a language's file, by dotted keys."""
    content = yaml.safe_load((folder / f"{language}.yaml").read_text(encoding="utf-8"))
    return dict(flat(content))


def flat(content: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, str]]:
    """Yield (dotted key, text) of nested blocks."""
    for key, value in content.items():
        if isinstance(value, Mapping):
            yield from flat(value, f"{above}{key}.")
        else:
            yield f"{above}{key}", str(value)
