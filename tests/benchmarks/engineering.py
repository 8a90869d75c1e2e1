"""How long pack, weight, wiring and charging take for one option: python -m tests.benchmarks.engineering

Times in milliseconds, best of several, for the example request.
"""

import sys
from collections.abc import Callable
from time import perf_counter

from quoting.charging import charge_figures
from quoting.example import example_request
from quoting.pack import pack_figures
from quoting.setup import setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures

REPEATS = 30


def best_ms(work: Callable[[], object]) -> float:
    """The shortest of several runs [ms]."""
    times = []
    for _ in range(REPEATS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return 1000 * min(times)


def main() -> None:
    request = example_request()
    setup = setup_of(request, request.options[0])
    pack = pack_figures(setup)
    each = {
        "pack": best_ms(lambda: pack_figures(setup)),
        "weight": best_ms(lambda: weight_figures(setup, pack)),
        "wiring": best_ms(lambda: wiring_figures(setup, pack, None)),
        "charging": best_ms(lambda: charge_figures(setup, pack)),
    }
    for name, taken in each.items():
        sys.stdout.write(f"{name:10} {taken:6.2f} ms\n")
    sys.stdout.write(f"{'together':10} {sum(each.values()):6.2f} ms\n")


if __name__ == "__main__":
    main()
