"""Medians of what `compare-speed` measured, one line `NAME|SECONDS KILOBYTES` a run."""

import statistics
import sys

runs = {}
for line in open(sys.argv[1], encoding="utf-8"):
    name, result = line.rstrip("\n").split("|", 1)
    runs.setdefault(name, []).append(result)

print("\n| what | seconds, median | least to most | of shadecard's | peak memory |\n|---|---|---|---|---|")
base = {}
# What is compared stands before the colon; shadecard is the first of it.
for name, results in sorted(runs.items(), key=lambda run: run[0].split(":")[0].partition(" in ")[0]):
    told = [r for r in results if r.startswith("not measured")]
    if told:
        print(f"| {name} | {told[0]} | | | |")
        continue
    pairs = [tuple(map(float, r.split())) for r in results]
    seconds = [s for s, _ in pairs]
    median = statistics.median(seconds)
    memory = max(kb for _, kb in pairs)
    first = base.setdefault(name.split(":")[0].partition(" in ")[0], median)
    print(
        f"| {name} | {median:.2f} | {min(seconds):.2f} to {max(seconds):.2f} | {median / first:.2f} "
        f"| {f'{memory / 1000:.0f} MB' if memory else '-'} |"
    )
