"""
How long checking a large study takes, and how much memory.

`python tests/benchmarks/bench_intake.py [participants] [terms]` writes an invented study (10,000
participants and 300 terms by default: three million rows), checks it, writes its canonical files
and prints seconds, seconds of the processor alone, and memory of each part. On a busy machine only
the processor's own seconds can be compared.
"""

import random
import resource
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2] / "scripts"), str(Path(__file__).parents[1])]

from felloe.validation.canonical import write_study  # noqa: E402
from felloe.validation.intake.folder import EXPECTED, read_study  # noqa: E402
from felloe.validation.intake.raw.csv_reader import read_csv  # noqa: E402
from study_folder import CANONICAL, LIMITS  # noqa: E402


def write_large(folder, participants, terms, piles=20):
    """Write a study in the long layout, with positions."""
    rng = random.Random(1)
    names = [f"term-{t:03d}" for t in range(terms)]
    people = [f"p{g:05d}" for g in range(participants)]
    text = "title: Large\nedition: 2026\ninstruction: As you like.\npopulations: {a: A, b: B}\n"
    (folder / "study.yaml").write_text(text, encoding="utf-8")
    lines = ["term,label", *(f"{name},{name}" for name in names)]
    (folder / "terms.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines = [
        "participant,population,minutes",
        *(f"{p},{'ab'[i % 2]},40" for i, p in enumerate(people)),
    ]
    (folder / "participants.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    with open(folder / "sorts.csv", "w", encoding="utf-8") as stream:
        stream.write("participant,term,pile,position\n")
        for person in people:
            order = rng.sample(range(terms), terms)
            rows = zip(order, names, strict=True)
            stream.write("".join(f"{person},{n},{rng.randrange(piles)},{o + 1}\n" for o, n in rows))


def timed(label, work, results):
    """Run a part and note its seconds and the memory reached."""
    start, used = time.perf_counter(), time.process_time()
    value = work()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    results.append((label, time.perf_counter() - start, time.process_time() - used, peak))
    return value


def main(participants=10_000, terms=300):
    """Measure and print."""
    results = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        write_large(folder, participants, terms)
        sorts = folder / "sorts.csv"
        timed("bytes of sorts.csv alone", sorts.read_bytes, results)
        timed("sorts.csv as a table", lambda: read_csv(sorts, "s", EXPECTED["sorts.csv"]), results)
        study = timed("the whole study, checked", lambda: read_study(folder, LIMITS), results)
        paths = {key: folder / "out" / name for key, name in CANONICAL.items()}
        timed("canonical files written", lambda: write_study(study, paths), results)
    print(f"{participants} participants x {terms} terms = {participants * terms} rows")
    print(f"{'part':28}{'seconds':>9}{'CPU s':>9}{'peak MB':>9}{'CPU us per row':>16}")
    for label, seconds, used, peak in results:
        each = 1e6 * used / (participants * terms)
        print(f"{label:28}{seconds:9.2f}{used:9.2f}{peak:9.0f}{each:16.2f}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
