"""How long reformulations take, at sizes. Reports, and judges nothing.

    python -m tests.bench.bench_reformulate

The questions are invented from seeds; no database is needed.
"""

from statistics import median

from recipes.reformulate import reformulate
from tests.recipes.invented_problems import invent

# present foods, new foods, supplements (half of them new), limits
SIZES = ((6, 1, 2, 20), (8, 2, 6, 40), (15, 10, 15, 60))
RUNS = 30


def main() -> None:
    print(
        f"{'choices, doses, limits':<26} {'median ms':>9} {'worst ms':>9} {'in full':>8} {'not proven':>11}"
    )
    for present, new, doses, limits in SIZES:
        answers = [
            reformulate(*invent(seed, present, new, doses, limits).arguments()) for seed in range(RUNS)
        ]
        taken = [answer.seconds * 1000 for answer in answers]
        met = sum(answer.feasible for answer in answers)
        unproven = sum(not answer.proven for answer in answers)
        size = f"{present + new + doses}, {doses}, {limits}"
        print(f"{size:<26} {median(taken):9.0f} {max(taken):9.0f} {met:>5}/{RUNS} {unproven:>8}/{RUNS}")


if __name__ == "__main__":
    main()
