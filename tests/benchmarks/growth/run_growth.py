"""Growth."""


def run_growth(folder, say):
    return 0
