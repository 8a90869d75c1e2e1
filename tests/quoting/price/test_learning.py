from decimal import Decimal

from quoting.price import learned_hours

POINTS = (Decimal(4), Decimal(6), Decimal(10))


def d(*pairs: tuple[str, str]) -> list[tuple[Decimal, Decimal]]:
    return [(Decimal(estimated), Decimal(actual)) for estimated, actual in pairs]


def test_without_finished_builds_the_estimate_stands() -> None:
    learned = learned_hours(*POINTS, [])
    assert (learned.low_h, learned.likely_h, learned.high_h, learned.builds) == (*POINTS, 0)
    assert learned.how == "As estimated: no finished build yet."


def test_finished_builds_pull_the_estimate_by_their_count() -> None:
    # Ratios 1.5 and 1.3; (3 + 2.8)/(3 + 2) = 1.16; 4, 6, 10 h become 4.64, 6.96, 11.6 -> 4.6, 7.0, 11.6.
    learned = learned_hours(*POINTS, d(("6", "9"), ("10", "13")))
    assert learned.factor == Decimal("1.16")
    assert (learned.low_h, learned.likely_h, learned.high_h) == (Decimal("4.6"), Decimal("7.0"), Decimal("11.6"))
    assert (
        learned.how
        == "Estimate × 1.16: 2 finished builds took × 1.40 on average; the estimate itself counts as 3 builds."
    )


def test_many_builds_win_over_the_estimate() -> None:
    # (3 + 57 × 2)/(3 + 57) = 117/60 = 1.95
    assert learned_hours(*POINTS, d(("5", "10")) * 57).factor == Decimal("1.95")


def test_a_timer_left_running_counts_as_the_greatest_ratio() -> None:
    # 400 h on a 5 h step is held at 4: (3 + 4)/4 = 1.75
    learned = learned_hours(*POINTS, d(("5", "400")))
    assert learned.factor == Decimal("1.75")
    assert "1 finished build took" in learned.how


def test_builds_without_an_estimate_are_left_out() -> None:
    assert learned_hours(*POINTS, d(("0", "12"))).builds == 0
