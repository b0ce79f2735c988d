"""Small runs written by hand: results, their ledger and their manifest, all hashes right."""

import hashlib
import json

STUDY = "jars"
PUBLISHED = "tiers/published.csv"
HEAD = "term,class,subclass,class_name,subclass_name,home_probability,status,absorbed\n"
ROWS = "dill,dill,dill,Herbs,Herbs,0.9,firm,no\ngarlic,garlic,garlic,Bite,Bite,0.8,firm,no\n"
FILES = {
    "matrices/pooled.both.csv": "term,dill,garlic\ndill,9,8\ngarlic,8,9\n",
    "clustering/distances.csv": "term,dill,garlic\ndill,0.0,0.5\ngarlic,0.5,0.0\n",
    PUBLISHED: HEAD + ROWS,
    "figures/wheel.svg": "<svg>1</svg>",
    "report/report.html": "<p>1</p>",
}
SORTS = "participant,term,pile\np01,dill,1\n"
# step: what it reads, what it writes, the settings it takes
STEPS = {
    "count": (["study/sorts.csv"], ["matrices/pooled.both.csv"], []),
    "cluster": (["matrices/pooled.both.csv"], ["clustering/distances.csv"], ["linkage"]),
    "publish": (["clustering/distances.csv"], [PUBLISHED], []),
    "draw": ([PUBLISHED], ["figures/wheel.svg"], []),
    "report": ([PUBLISHED, "figures/wheel.svg"], ["report/report.html"], []),
}


def sha(text):
    return hashlib.sha256(text.encode()).hexdigest()


def shown(path, study):
    return path if path.startswith(("study/", "results/")) else f"results/{study}/{path}"


def write_run(
    folder,
    files=None,
    sorts=SORTS,
    linkage="average",
    versions=None,
    code=None,
    foreign=None,
    study=STUDY,
    seed=1,
):
    """
    Write a run's results, ledger and manifest; return their folder.

    `files` replaces contents by path; `versions` are matplotlib's and others'; `code` is the hash
    of each step that is not the usual; `foreign` are hashes of what `publish` reads elsewhere.
    """
    contents = {**FILES, **(files or {})}
    versions = {"matplotlib": "3.11", **(versions or {})}
    known = {"study/sorts.csv": sha(sorts), **{path: sha(text) for path, text in contents.items()}}
    folder = folder / "results" / study
    for path, text in contents.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    (folder / "ledger").mkdir()
    for step, (read, written, settings) in STEPS.items():
        inputs = {shown(path, study): known[path] for path in read}
        entry = {
            "step": step,
            "code": (code or {}).get(step, "c0de"),
            "settings": dict.fromkeys(settings, linkage),
            "versions": versions if step == "draw" else {},
            "inputs": {**inputs, **((foreign or {}) if step == "publish" else {})},
            "outputs": {shown(path, study): known[path] for path in written},
        }
        (folder / "ledger" / f"{step}.json").write_text(json.dumps(entry), encoding="utf-8")
    manifest = {
        "project": {"name": "felloe", "version": "1", "code": "".join((code or {}).values())},
        "study": study,
        "config": {
            "studies": {study: study},
            "seed": seed,
            "clustering": {"linkage": linkage},
        },
        "packages": versions,
        "inputs": {"sorts.csv": sha(sorts)},
        "outputs": {path: known[path] for path in contents},
    }
    (folder / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    return folder


def with_sums(folder):
    """
    Write what the manifest's own job leaves beside a run, its sums and its entry; return the run.

    The entry reads all results, and under `ledger/` the other entries: the hash of the lines that
    `sha256sum` prints of them.
    """
    study = folder.name
    manifest = (folder / "manifest.json").read_text(encoding="utf-8")
    outputs = json.loads(manifest)["outputs"]
    hashes = {**outputs, "manifest.json": sha(manifest)}
    lines = "".join(f"{value}  {path}\n" for path, value in sorted(hashes.items()))
    (folder / "SHA256SUMS").write_text(lines, encoding="utf-8")
    entries = {path.name: path.read_text() for path in sorted((folder / "ledger").iterdir())}
    read = {shown(path, study): value for path, value in outputs.items()}
    read["ledger/"] = sha("".join(f"{sha(text)}  {name}\n" for name, text in entries.items()))
    written = {"manifest.json": hashes["manifest.json"], "SHA256SUMS": sha(lines)}
    entry = {
        "step": "write_manifest",
        "code": "c0de",
        "settings": {},
        "versions": {},
        "inputs": read,
        "outputs": {shown(path, study): value for path, value in written.items()},
    }
    (folder / "ledger" / "write_manifest.json").write_text(json.dumps(entry), encoding="utf-8")
    return folder


def second_state(*names):
    """Return other contents for the named parts of the example."""
    other = {
        "both": ("matrices/pooled.both.csv", "term,dill,garlic\ndill,9,7\ngarlic,7,9\n"),
        "distances": (
            "clustering/distances.csv",
            "term,dill,garlic\ndill,0.0,0.7\ngarlic,0.7,0.0\n",
        ),
        "published": (PUBLISHED, HEAD + ROWS.replace("0.9,firm", "0.4,doubtful")),
        "figure": ("figures/wheel.svg", "<svg>2</svg>"),
        "report": ("report/report.html", "<p>2</p>"),
    }
    return dict(other[name] for name in names)
