"""The tones of the figures as variables of a page's style."""

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


def css_variables() -> str:
    """Return the rule that declares every tone, a line that a page's style starts with."""
    return f":root {{ {' '.join(f'--{name}: {tone};' for name, tone in TONES.items())} }}\n"
