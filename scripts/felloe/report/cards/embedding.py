"""The letters that a page needs from the fonts, as text that stands in its style."""

import base64

from felloe.report.cards.lettering import Lettering
from felloe.report.typeface.subsets import Used, subset_of

WEIGHTS = {"plain": 400, "strong": 600}


def font_faces(lettering: Lettering, text: str) -> str:
    """
    Return the style rules that bring the fonts of a page.

    Parameters
    ----------
    lettering : Lettering
    text : str
        All that the page says; letters that it has not are left out.
    """
    letters = frozenset(map(ord, text)) - {ord("\n")}
    rules, families = [], []
    for weight, bold in WEIGHTS.items():
        left = letters
        for place, style in enumerate(lettering.tried(weight)):
            if style.split("-")[0] == weight and (wanted := left & lettering.letters[style]):
                family = f"Card{place or ''}"
                signs = "".join(map(chr, sorted(wanted)))
                used = Used(lettering.paths[style], family, bold, "normal", signs)
                data = base64.b64encode(subset_of(used)).decode("ascii")
                rules.append(
                    f"@font-face {{ font-family: {family}; font-weight: {bold}; "
                    f'src: url("data:font/{used.format};base64,{data}"); }}\n'
                )
                left = left - wanted
                families.append(family)
    stack = ", ".join([*dict.fromkeys(families), "system-ui", "sans-serif"])
    return "".join(rules) + f"body {{ font-family: {stack}; }}\n"
