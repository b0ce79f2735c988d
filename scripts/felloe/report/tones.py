"""The tones of the figures as variables of a page's style, and those of a dark page."""

from collections.abc import Mapping

from felloe.ground.drawing import ACCENT, GOOD, GROUND, INK, MUTED, PAPER, RULE, WARNING

TONES = {
    "ink": INK,
    "muted": MUTED,
    "rule": RULE,
    "paper": PAPER,
    "ground": GROUND,
    "accent": ACCENT,
    "good": GOOD,
    "warning": WARNING,
}
DARK_TONES = {
    "ink": "#e9ece7",
    "muted": "#a9b2ac",
    "rule": "#454d48",
    "paper": "#161a18",
    "ground": "#202523",
    "accent": "#f0a491",
    "good": "#86cf9f",
    "warning": "#33211d",
}


def css_variables() -> str:
    """Return the rule that declares every tone, a line that a page's style starts with."""
    return f":root {{ {declared(TONES)} }}\n"


def scheme_variables(light: Mapping[str, str], dark: Mapping[str, str]) -> str:
    """
    Return the rules of a page that is light or dark.

    The device's taste counts unless the page's `data-scheme` says otherwise.

    Parameters
    ----------
    light, dark : mapping of str to str
        Colours by the names of their variables, the same in both.
    """
    day, night = declared(light), declared(dark)
    return (
        f":root {{ color-scheme: light; {day} }}\n"
        "@media (prefers-color-scheme: dark) { "
        f":root:not([data-scheme=light]) {{ color-scheme: dark; {night} }} }}\n"
        f":root[data-scheme=dark] {{ color-scheme: dark; {night} }}\n"
        f"@media print {{ :root, :root[data-scheme] {{ color-scheme: light; {day} }} }}\n"
    )


def declared(tones: Mapping[str, str]) -> str:
    """Return the declarations of some tones."""
    return " ".join(f"--{name}: {tone};" for name, tone in tones.items())
