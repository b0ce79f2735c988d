"""Reads the sizes of studies; lets every rule ask a cluster for memory and time."""

from functools import cache

from snakemake.resources import Resources

# what steps took by the size of studies, and these sizes, for whoever asks a cluster
NEEDS = read_needs(ROOT / "workflow/resources.csv")


@cache
def size_of_study(study):
    """Return how large a study is."""
    return size_of(config["studies"][study], config["bootstrap"]["replicates"])


def sizes_of_job(log, wildcards):
    """Return the sizes of the studies that a job is of, by its log and its wildcards."""
    home = log.partition("/logs/")[0].rpartition("/")[2]  # a study's own rule names it there
    named = {home, *map(str, wildcards)}
    studies = [study for study in STUDIES if study in named] or STUDIES
    return [size_of_study(study) for study in studies]


def needed(ask, log):
    """Return the function that asks for the memory or the time of a rule's job, by its log."""

    def asked(wildcards, attempt):
        return ask(NEEDS, step_of(log), sizes_of_job(log, wildcards), attempt)

    return asked


def seconds_expected(log, wildcards):
    """Return the seconds that a job took where it was measured; None if it never was."""
    return measured(NEEDS, step_of(log), "seconds", sizes_of_job(log, wildcards))


def ask_for_resources(workflow):
    """Let every rule ask for memory and time, unless the command says how much."""
    said = workflow.resource_settings.overwrite_resources
    for each in workflow.rules:
        if each.log:
            log = str(each.log[0])
            asked = {"mem_mb": needed(megabytes, log), "runtime": needed(minutes, log)}
            each.resources.update(Resources.from_mapping(asked))
            each.resources.update(Resources.from_mapping(said.get(each.name, {})))
