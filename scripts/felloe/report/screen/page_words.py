"""How the interactive page takes its sentences from the words of a language."""

from felloe.report.languages.language_words import Words

SCRIPTED = "page.script."  # the start of the keys that the page's script uses


def scripted(words: Words) -> dict[str, str]:
    """Return the sentences that the page's script uses, by what follows `page.script.`."""
    return {
        key.removeprefix(SCRIPTED): text for key, text in words.items() if key.startswith(SCRIPTED)
    }
