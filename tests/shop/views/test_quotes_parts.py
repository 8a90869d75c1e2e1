"""Parts, hours and extra lines at the Counter."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from shop.models import Component, OptionExtra, OptionPart, Skill
from tests.shop.made_counter import Counter, text
from tests.shop.made_parts import SOUND, make_offer, receive


def another(counter: Counter, source: str, code: str, name: str, **spec: object) -> Component:
    """A second component of a kind, unlike the first in `spec`."""
    kind, _, _, _, x_m, known = SOUND[source]
    made = Component.objects.create(
        code=code, kind=kind, name=name, list_price=Decimal(990), x_m=x_m, spec={**known, **spec}
    )
    make_offer(made, priced_on=counter.version.saved_at.date(), lead_low_days=5, lead_days=9, lead_high_days=12)
    return made


def test_parts_that_fit_come_first_and_the_others_say_why(counter: Counter) -> None:
    another(counter, "CON-1", "CON-2", "controller 72 V 250 A")
    another(counter, "CON-1", "CON-3", "controller 48 V", max_v=63)
    page = text(
        counter.get(
            "part-choose", "A", "controller", query={"instead": counter.part("CON-1").component.public_id}, script=True
        )
    )
    assert "<html" not in page
    assert "instead of controller 72 V 200 A" in page
    assert (
        page.index("controller 72 V 250 A") < page.index("Does not fit as things stand") < page.index("controller 48 V")
    )
    assert "The full pack stands at 84.0 V. The controller takes at most 63.0 V." in page
    assert "+210.00" in page  # 990 − 780
    assert "to order, 9 days" in page


def test_the_choice_is_a_page_of_its_own_without_script(counter: Counter) -> None:
    page = text(counter.get("part-choose", "A", "brake"))
    assert "<html" in page
    assert "The catalogue has no other brakes with a price." in page


def test_stock_is_named_where_there_is_some(counter: Counter) -> None:
    receive(another(counter, "CON-1", "CON-2", "controller 72 V 250 A"), 3)
    assert "3 on the shelf" in text(counter.get("part-choose", "A", "controller"))


def test_an_unknown_kind_is_not_found(counter: Counter) -> None:
    assert counter.get("part-choose", "A", "flux-capacitor").status_code == 404


def test_a_part_is_exchanged(counter: Counter) -> None:
    other = another(counter, "CON-1", "CON-2", "controller 72 V 250 A")
    old = counter.part("CON-1").component
    answer = counter.post("part-take", "A", component=other.public_id, instead=old.public_id)
    assert answer.status_code == 200
    assert 'id="parts"' in text(answer)
    assert counter.part("CON-2").quantity == 1
    assert not OptionPart.objects.filter(option=counter.option, component=old).exists()


def test_a_part_is_added_and_taken_off(counter: Counter) -> None:
    other = another(counter, "LMP-1", "LMP-2", "spot lamp")
    counter.post("part-take", "A", component=other.public_id)
    assert counter.part("LMP-2").quantity == 1
    counter.post("part-remove", "A", other.public_id)
    assert not OptionPart.objects.filter(component=other).exists()
    assert counter.post("part-remove", "A", other.public_id).status_code == 404


def test_a_second_motor_is_refused_in_words(counter: Counter) -> None:
    other = another(counter, "MOT-1", "MOT-2", "hub motor 8 kW")
    answer = counter.post("part-take", "A", component=other.public_id)
    assert answer.status_code == 422
    assert "has hub motor 10 kW 72 V already" in text(answer)
    plain = counter.client.post(counter.address("part-take", "A"), {"component": other.public_id}, follow=True)
    assert "has hub motor 10 kW 72 V already" in text(plain)


def test_taking_what_the_catalogue_has_not_is_not_found(counter: Counter) -> None:
    assert counter.post("part-take", "A", component="no-such-part").status_code == 404


def test_count_price_and_conductors_of_a_line(counter: Counter) -> None:
    cable = counter.part("CAB-B").component
    prefix = f"part-{cable.public_id}"
    sent = {f"{prefix}-quantity": "2.5", f"{prefix}-conductors": "2", f"{prefix}-unit_price": "16.40"}
    answer = counter.post("part-set", "A", cable.public_id, **sent)
    assert answer.status_code == 200
    part = counter.part("CAB-B")
    assert (part.quantity, part.conductors, part.unit_price) == (Decimal("2.5"), 2, Decimal("16.4"))
    assert re.search(rf'data-figure="part-{cable.public_id}">41.00<', text(answer))  # 2.5 × 16.40
    counter.post("part-set", "A", cable.public_id, **{**sent, f"{prefix}-unit_price": ""})
    assert counter.part("CAB-B").unit_price is None


@pytest.mark.parametrize("typed", ["", "0", "-1", "1.5", "many"])
def test_a_count_that_cannot_be(typed: str, counter: Counter) -> None:
    motor = counter.part("MOT-1").component
    answer = counter.post("part-set", "A", motor.public_id, **{f"part-{motor.public_id}-quantity": typed})
    assert answer.status_code == 422
    assert re.search(rf'id="id_part-{motor.public_id}-quantity_error"[^>]*>[^<]+<', text(answer))
    assert counter.part("MOT-1").quantity == 1


def test_cells_are_counted_by_the_pack_and_only_priced_by_hand(counter: Counter) -> None:
    cell = counter.part("CEL-1").component
    prefix = f"part-{cell.public_id}"
    answer = counter.post(
        "part-set", "A", cell.public_id, **{f"{prefix}-quantity": "9", f"{prefix}-unit_price": "3.995"}
    )
    assert answer.status_code == 200
    assert counter.part("CEL-1").quantity == 480
    assert counter.part("CEL-1").unit_price == Decimal("3.995")


def test_hours_by_hand_and_back_to_the_estimate(counter: Counter) -> None:
    answer = counter.post("step-set", "A", "pack", **{"step-pack-hours": "16:30"})
    assert answer.status_code == 200
    assert counter.option.steps.get(code="pack").hours == Decimal("16.5")
    assert "16.50 h at 110.00" in text(answer)
    counter.post("step-set", "A", "pack", **{"step-pack-hours": ""})
    assert counter.option.steps.get(code="pack").hours is None


@pytest.mark.parametrize("typed", ["-1", "long", "1001"])
def test_hours_that_cannot_be(typed: str, counter: Counter) -> None:
    answer = counter.post("step-set", "A", "pack", **{"step-pack-hours": typed})
    assert answer.status_code == 422
    assert counter.option.steps.get(code="pack").hours is None


def test_a_step_is_taken_off(counter: Counter) -> None:
    answer = counter.post("step-remove", "A", "road-test")
    assert 'id="hours"' in text(answer)
    assert not counter.option.steps.filter(code="road-test").exists()
    assert counter.post("step-remove", "A", "road-test").status_code == 404


def test_a_step_of_this_option_alone(counter: Counter) -> None:
    skill = Skill.objects.get(code="electric")
    sent = {"label": "Gauge face", "skill": str(skill.pk), "bench_type": "", "hours": "2:30", "lead_days": ""}
    answer = counter.post("step-new", "A", **{f"new-step-{name}": value for name, value in sent.items()})
    assert answer.status_code == 200
    step = counter.option.steps.get(label="Gauge face")
    assert step.low_h == step.likely_h == step.high_h == Decimal("2.5")
    assert "2.50 h at 110.00" in text(answer)


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"label": "", "hours": "1"}, "Fill this in."),
        ({"label": "Paint"}, "Give the hours, or the days it is outside."),
        ({"label": "Paint", "hours": "3"}, "Hours need a skill"),
        ({"label": "Paint", "lead_days": "400"}, "Write 365 or less"),
    ],
)
def test_a_step_that_is_not_known_enough_is_refused(sent: dict[str, str], words: str, counter: Counter) -> None:
    answer = counter.post("step-new", "A", **{f"new-step-{name}": value for name, value in sent.items()})
    assert answer.status_code == 422
    assert words in text(answer)
    assert counter.option.steps.count() == 5


def test_outside_work_is_a_step_with_days_and_no_hours(counter: Counter) -> None:
    assert counter.post("step-new", "A", **{"new-step-label": "Paint", "new-step-lead_days": "14"}).status_code == 200
    step = counter.option.steps.get(label="Paint")
    assert step.lead_days == 14
    assert step.likely_h == 0


def test_extra_lines(counter: Counter) -> None:
    sent = {"kind": "freight", "label": "Crate", "amount": "180", "cost": "", "tax_class": "freight"}
    answer = counter.post("extra-new", "A", **{f"extra-{name}": value for name, value in sent.items()})
    assert answer.status_code == 200
    assert "Crate" in text(answer)
    extra = OptionExtra.objects.get(option=counter.option)
    assert extra.amount == 180
    assert extra.cost is None
    assert counter.post("extra-remove", "A", extra=str(extra.pk)).status_code == 200
    assert not OptionExtra.objects.exists()
    assert counter.post("extra-remove", "A", extra="x").status_code == 404


def test_an_extra_line_without_words_is_refused(counter: Counter) -> None:
    answer = counter.post("extra-new", "A", extra__kind="fee", extra__amount="twelve", extra__tax_class="fee")
    assert answer.status_code == 422
    assert "Fill this in." in text(answer)
    assert "“twelve” is not a number" in text(answer)
    assert not OptionExtra.objects.exists()
