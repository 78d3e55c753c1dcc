"""How well is told what went wrong: seeded mishaps in invented years, hits and false alarms.

Run it as ``python benchmarks/mishaps.py [years] [first seed] [word of a fault ...]``; a year takes some ten seconds.
The table with its date stands in docs/guide/recap.md. The rules were made on other seeds than those told there.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

from logs.lived import FAULTS, score


def main() -> None:
    """Print the table, and on stderr what was missed or told wrongly."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    words = [word for word in sys.argv[1:] if not word.isdigit()]
    years = numbers[0] if numbers else 8
    first = numbers[1] if len(numbers) > 1 else 400
    print("| fault | seeded | found | false alarms |\n| --- | ---: | ---: | ---: |")
    for kind in FAULTS:
        if words and not any(word in kind for word in words):
            continue
        scores = {seed: score(kind, seed) for seed in range(first, first + years)}
        seeded = 0 if kind == "none" else years
        found = sum(hit for hit, _ in scores.values()) if seeded else 0
        wrong = sum(len(texts) for _, texts in scores.values())
        print(f"| {kind} | {seeded} | {found} | {wrong} |", flush=True)
        for seed, (hit, texts) in scores.items():
            if texts or not hit:
                print(f"    seed {seed}: {'found' if hit else 'missed'} {texts}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    main()
