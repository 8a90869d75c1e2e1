"""The steps of a kind of job."""

from __future__ import annotations

from collections.abc import Mapping

from shop.models import Donor, RoutingStep

Routing = Mapping[str, RoutingStep]


def routing_for(job: str, donor: Donor | None) -> Routing:
    """The steps of a job for the bike's family, by code in order; the general ones where the family has none."""
    steps = RoutingStep.objects.filter(job=job).order_by("position", "pk")
    own = list(steps.filter(family=donor.family_id)) if donor else []
    return {step.code: step for step in own or steps.filter(family=None)}
