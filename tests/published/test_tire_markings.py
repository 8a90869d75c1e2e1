"""Overall diameters from tire markings.

Sources: a tire maker's public page on sidewall markings (D = W × aspect × 2 + 25.4 × rim, its worked sizes below; older
inch sizes 100 %, the low ones such as 4.10 90 %, 4.25/85 as marked), and a public guide to motorcycle tire sizes
(MT90 is 130/90, its side 117 mm tall).
"""

import pytest

from quoting.ride.tires import tire_size


@pytest.mark.parametrize(
    ("marking", "diameter_mm"),
    [
        ("120/100-18", 697.2),
        ("120/90-18", 673.2),
        ("120/80-18", 649.2),
        ("3.50-18", 635.0),  # 18·25.4 + 2·3.50·25.4
        ("4.10-19", 670.1),  # 19·25.4 + 2·0.9·4.10·25.4 = 482.6 + 187.452
        ("4.25/85-18", 640.7),  # 18·25.4 + 2·0.85·4.25·25.4 = 457.2 + 183.515
        ("MT90-16", 640.4),  # 16·25.4 + 2·117
    ],
)
def test_overall_diameter(marking, diameter_mm):
    assert tire_size(marking).diameter_m * 1000 == pytest.approx(diameter_mm, abs=0.06)
