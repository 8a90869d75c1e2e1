from decimal import Decimal

import pytest

from quoting.price import deposit_on
from quoting.request import Policies

D = Decimal


@pytest.mark.parametrize(
    ("due", "policies", "deposit"),
    [
        ("1000.00", Policies(deposit_rate=D("0.30")), "300.00"),
        ("333.35", Policies(deposit_rate=D("0.30")), "100.01"),  # 100.005 goes up
        ("1000.00", Policies(deposit_rate=D("0.30"), deposit_minimum=D(500)), "500"),
        ("2000.00", Policies(deposit_rate=D("0.30"), deposit_minimum=D(500)), "600"),
        ("400.00", Policies(deposit_rate=D("0.30"), deposit_minimum=D(500)), "400"),  # never above what is due
        ("1000.00", Policies(deposit_fixed=D(250), deposit_minimum=D(500)), "250"),  # fixed stands
        ("100.00", Policies(deposit_fixed=D(250)), "100"),
        ("1000.00", Policies(deposit_fixed=D(0)), "0"),
        ("0.00", Policies(deposit_minimum=D(500)), "0"),
        ("-40.00", Policies(deposit_minimum=D(500)), "0"),
    ],
)
def test_the_policy_sets_the_deposit(due: str, policies: Policies, deposit: str) -> None:
    assert deposit_on(D(due), policies, "USD") == D(deposit)
