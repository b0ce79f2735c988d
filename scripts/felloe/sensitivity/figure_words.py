"""What the choices are called in the figure."""

CHOICES = {"n_classes": "classes"}
SHARES = "Universes that give the published class"
LEVELS = "within each choice (black: never, light: always)"


def choice(name: str) -> str:
    """Return what a choice is called."""
    return CHOICES.get(name, name)


def level(name: str) -> str:
    """Return what a level of a choice is called."""
    return name.replace("_", " ")


def least_settled(shown: int, terms: int) -> str:
    """Say that not all terms are drawn."""
    return (
        f"The {shown} of {terms:,} terms that keep their class least; sensitivity/universes.csv "
        "has the class of every term in every universe."
    )


def title(universes: int, study: str) -> str:
    """Return the title of the figure."""
    return f"The same chart under {universes} reasonable choices\n{study}"
