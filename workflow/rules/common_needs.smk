"""Reads the sizes of studies; lets every rule ask a cluster for memory and time."""

from functools import cache

from snakemake.resources import Resources

# what steps took by the size of studies, and these sizes, for whoever asks a cluster
NEEDS = read_needs(ROOT / "workflow/resources.csv")


@cache
def size_of_study(study):
    """Return how large a study is."""
    return size_of(config["studies"][study], config["bootstrap"]["replicates"])


def needed(ask, log):
    """Return the function that asks for the memory or the time of a rule's job, by its log."""
    home = log.partition("/logs/")[0].rpartition("/")[2]  # a study's own rule names it there

    def asked(wildcards, attempt):
        named = {home, *map(str, wildcards)}
        studies = [study for study in STUDIES if study in named] or STUDIES
        return ask(NEEDS, step_of(log), [size_of_study(study) for study in studies], attempt)

    return asked


def ask_for_resources(workflow):
    """Let every rule ask for memory and time, unless the command says how much."""
    said = workflow.resource_settings.overwrite_resources
    for each in workflow.rules:
        if each.log:
            log = str(each.log[0])
            asked = {"mem_mb": needed(megabytes, log), "runtime": needed(minutes, log)}
            each.resources.update(Resources.from_mapping(asked))
            each.resources.update(Resources.from_mapping(said.get(each.name, {})))
