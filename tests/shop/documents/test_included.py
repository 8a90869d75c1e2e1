from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quoting import quote
from quoting.example import example_request
from quoting.parts import KINDS
from quoting.price import price_sheet
from quoting.request import Allowance, ExtraLine, Option, StepLine
from quoting.result import OptionResult
from shop.documents.included import FAMILIES, MOST_NAMED, NOT_SAID, included_rows
from shop.documents.pen import Pen

REQUEST = example_request()
OPTION = REQUEST.options[0]


def rows(option: Option = OPTION, job: str = "conversion", units: str = "us") -> dict[str, str]:
    request = replace(REQUEST, options=(option,), job=job, units=units)
    made = included_rows(request, option, quote(request).options[0], Pen("en-US", "USD", units))
    return {row.label: row.words.replace("\xa0", " ") for row in made}


def test_every_kind_of_component_is_told_of():
    """Also one the engine gets later: what no family names stands with the frame."""
    assert {kind for _, kinds in FAMILIES for kind in kinds} < set(KINDS)
    for kind in KINDS:
        part = replace(OPTION.parts[0], kind=kind, name="an odd thing", spec={})
        option = replace(OPTION, parts=(part,), steps=())
        result = OptionResult(key="A", label="", price=price_sheet(REQUEST, option), findings=(), rules_checked=0)
        told = included_rows(REQUEST, option, result, Pen("en-US", "USD", "us"))
        assert [row.words for row in told if "odd thing" in row.words] == ["An odd thing."], kind


def test_the_example():
    told = rows()
    assert told["Drive"] == "Hub motor 8 kW, controller 220 A, twist throttle, Hall, round display."
    # 240 cells of 3.6 V and 4.5 Ah are 3,888 Wh; 20 x 4.2 V = 84.0 V
    assert told["Battery"] == (
        "Pack 20s12p, 3.89 kWh, 84.0 V full, 240 × cell 4.5 Ah, battery management 20s, pack box, sealed."
    )
    assert told["Work"] == "Strip and measure, mounts and boxes, build the pack, fit and wire, test and road test."
    assert "3 m battery cable 50 mm2" in told["Electrics"]


def test_whether_it_can_go_back_is_what_the_adapters_say():
    assert rows()["Going back"].startswith("Everything bolts to what is there")
    cut = tuple(
        replace(part, spec={**part.spec, "reversible": False}) if part.kind == "adapter" else part
        for part in OPTION.parts
    )
    assert "Not reversible: Torque arms, pair cut or weld the frame" in rows(replace(OPTION, parts=cut))["Going back"]
    none = tuple(part for part in OPTION.parts if part.kind != "adapter")
    assert rows(replace(OPTION, parts=none))["Going back"] == NOT_SAID


def test_what_becomes_of_the_engine():
    assert rows()["Old engine"].startswith("Nothing is credited")
    sold = replace(OPTION, allowance=Allowance(label="Engine taken in", amount=Decimal(500)))
    assert rows(sold)["Old engine"] == "Engine taken in: $500.00 off what is paid."


def test_only_a_conversion_speaks_of_going_back():
    assert not {"Going back", "Old engine"} & set(rows(job="service"))


def test_outside_work_and_extras():
    option = replace(
        OPTION,
        steps=(
            *OPTION.steps,
            StepLine(code="coat", label="Powder coat", lead_days=14),
            StepLine(code="x", label="Nil"),
        ),
        extras=(ExtraLine(kind="freight", label="Freight of the frame", amount=Decimal(80)),),
    )
    told = rows(option)
    assert told["Work"].endswith("powder coat.")  # a step without hours and without lead time is no work
    assert told["Also"] == "Freight of the frame."


def test_a_long_family_is_counted_after_ten():
    more = tuple(replace(OPTION.parts[-1], code=f"H-{n}", kind="hardware", name=f"set {n}", spec={}) for n in range(30))
    words = rows(replace(OPTION, parts=(*OPTION.parts, *more)))["Frame and road"]
    # torque arms, tire and seven of the thirty sets are nine; 23 are left
    assert MOST_NAMED == 10
    assert words.endswith("set 6, and 23 more on the lines.")
