"""Side by side: pintle, and what a practitioner would script with pandas and rapidfuzz over the same descriptions.

    pip install pandas rapidfuzz
    cargo build --release
    python3 tests/bench/compare.py target/release/pintle

The script knows the labelled wordings of tests/truth that were at hand while the word lists were written, and gives each
wording of the batches that were labelled before anything read them (unseen-*.csv) the labels of the nearest known one. pintle
reads the same batches as lines of a schedule. Reported for both: time, peak memory, how many categories and how many of the
labelled attributes are right, how many are wrong. Times are of whole processes, start included.
"""

import csv
import json
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

TRUTH = pathlib.Path(__file__).resolve().parent.parent / "truth"
# Below this likeness (of 100) the script leaves a wording to a person.
ALIKE = 60
# How often the batches are repeated for the second measure, so that starting up counts for little.
TIMES = 20


def rows(pattern, without=""):
    for path in sorted(TRUTH.glob(pattern)):
        if path.name == "score.csv" or (without and path.name.startswith(without)):
            continue
        with path.open(encoding="utf-8", newline="") as file:
            yield from csv.DictReader(file)


def labels(row):
    pairs = [pair.split("=", 1) for pair in row["attributes"].split(";") if "=" in pair]
    return row["category"], {name.strip(): value.strip() for name, value in pairs}


def fuzzy(times):
    """The practitioner's script."""
    import pandas
    from rapidfuzz import fuzz, process, utils

    columns = ["description", "catalog_number", "finish"]
    known = pandas.DataFrame(rows("*.csv", without="unseen"))
    asked = pandas.concat([pandas.DataFrame(rows("unseen-*.csv"))] * times, ignore_index=True)
    text = lambda frame: frame[columns].fillna("").agg(" ".join, axis=1)
    choices = text(known).tolist()
    found = [
        process.extractOne(words, choices, scorer=fuzz.WRatio, processor=utils.default_process, score_cutoff=ALIKE)
        for words in text(asked)
    ]
    named = [labels(known.iloc[one[2]]) if one else ("", {}) for one in found]
    return named[: len(asked) // times]


def by_pintle(program, times):
    """pintle over the same wordings, each the one line of a set."""
    asked = list(rows("unseen-*.csv"))
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        with (folder / "sets.csv").open("w", encoding="utf-8", newline="") as file:
            out = csv.writer(file)
            out.writerow(["Set", "Qty", "Description", "Catalog No.", "Finish"])
            for turn in range(times):
                for index, row in enumerate(asked):
                    words = [row["qty"], row["description"], row["catalog_number"], row["finish"]]
                    out.writerow([f"H{turn * len(asked) + index + 1}"] + words)
        run = subprocess.run([program, "quote", "sets.csv"], cwd=folder, capture_output=True)
        if run.returncode > 1:
            sys.exit(run.stderr.decode())
        record = json.loads((folder / "sets.record.json").read_text(encoding="utf-8"))
    named = {}
    for one in record["sets"]:
        line = one["lines"][0] if one["lines"] else {}
        values = line.get("attributes") or {}
        named[one["id"]] = (line.get("category") or "", values)
    return [named.get(f"H{index + 1}", ("", {})) for index in range(len(asked))]


def plain(value):
    if isinstance(value, bool):
        return str(value).lower()
    return str(value).strip().lower()


def score(named):
    asked = [labels(row) for row in rows("unseen-*.csv")]
    right = wrong = good = bad = wanted = lines = 0
    for (category, attributes), (found, values) in zip(asked, named):
        if category:
            lines += 1
            right += found == category
            wrong += found not in ("", category)
        for name, value in attributes.items():
            wanted += 1
            given = values.get(name)
            if given is not None and plain(given) == plain(value):
                good += 1
            elif given is not None:
                bad += 1
    share = lambda part, whole: 100 * part / whole
    return {
        "wordings": len(asked),
        "category right %": share(right, lines),
        "category wrong %": share(wrong, lines),
        "attributes right %": share(good, wanted),
        "attributes wrong %": share(bad, wanted),
    }


def measured(who, times):
    start = time.perf_counter()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = subprocess.run([sys.executable, __file__, *who, str(times)], capture_output=True)
    if run.returncode:
        sys.exit(run.stderr.decode())
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = time.perf_counter() - start
    processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return json.loads(run.stdout), seconds, processor, after.ru_maxrss / 1024


def main():
    if sys.argv[1] == "--fuzzy":
        print(json.dumps(fuzzy(int(sys.argv[2]))))
        return
    if sys.argv[1] == "--pintle":
        print(json.dumps(by_pintle(sys.argv[2], int(sys.argv[3]))))
        return
    program = str(pathlib.Path(sys.argv[1]).resolve())
    # pintle first: peak memory of children only grows, and the script needs more.
    for name, who in [("pintle quote", ["--pintle", program]), ("pandas + rapidfuzz", ["--fuzzy"])]:
        for times in (1, TIMES):
            named, seconds, processor, memory = measured(who, times)
            found = score([(category, values) for category, values in named])
            told = ", ".join(f"{key} {value:.1f}" if "%" in key else f"{key} {value * times}" for key, value in found.items())
            print(f"{name}: {seconds:.2f} s, {processor:.2f} s of the processor, at most {memory:.0f} MB so far; {told}")


main()
