"""How sure the days of a What-if are: two simulated lines with the same random numbers. The worker's work."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from quoting import from_json, to_json
from quoting.errors import CalendarError
from quoting.odds import Dice, engine, samples_for, simulate_line
from quoting.promise import prepare_shop
from quoting.request import Policies, ShopState
from quoting.result import Odds
from shop.models import PlanOdds, Trial
from shop.services.odds import FROM_LEVEL, SEED, TO_LEVEL

KEPT = timedelta(days=1)  # an answer is for the plan of a moment (our own choice)
LOST = timedelta(minutes=10)  # no trial takes as long: its worker is gone, so it may be asked again (our own choice)


@transaction.atomic
def trial_ask(
    *, before: ShopState, after: ShopState, now: datetime, policies: Policies, asked: str
) -> tuple[Trial, bool]:
    """Put a question down. Returns: the trial, and whether a worker has to be asked to work it out.

    `asked` the changes as text: the same changes at the same revision and day are one question, whoever asks it.
    """
    Trial.objects.filter(asked_at__lt=timezone.now() - KEPT).delete()
    key = hashlib.sha256(f"{before.revision}|{now.date()}|{asked}".encode()).hexdigest()
    question = {
        "before": to_json(before),
        "after": to_json(after),
        "now": now.isoformat(),
        "policies": to_json(policies),
    }
    trial, made = Trial.objects.get_or_create(key=key, defaults={"revision": before.revision, "question": question})
    if made or not _given_up(trial):
        return trial, made
    trial.question, trial.said, trial.odds, trial.halves = question, "", None, 0
    trial.asked_at, trial.started_at, trial.ended_at = timezone.now(), None, None
    trial.save()
    return trial, True


def _given_up(trial: Trial) -> bool:
    """Could not be worked out, or its worker has been gone for long."""
    return bool(trial.said) or (trial.ended_at is None and trial.asked_at < timezone.now() - LOST)


def trial_work(public_id: str) -> str:
    """Work a question out and write the answer down; how far it is can be read meanwhile. Safe to repeat."""
    trial = Trial.objects.filter(public_id=public_id).first()
    if trial is None or trial.question is None:
        return "answered already, or forgotten"
    trial.started_at, trial.halves = timezone.now(), 0
    trial.save(update_fields=["started_at", "halves"])
    try:
        trial.odds = _drawn(trial, trial.question)
    except CalendarError as error:
        trial.said = str(error)[:300]
    trial.question, trial.ended_at = None, timezone.now()
    trial.save(update_fields=["odds", "said", "question", "ended_at"])
    return trial.said or "answered"


def _drawn(trial: Trial, question: Mapping[str, Any]) -> dict[str, Any]:
    """Both lines, each build's window and the chance that its promise holds, as it is and as it would be."""
    now = datetime.fromisoformat(question["now"])
    policies = from_json(Policies, question["policies"])
    before, after = (from_json(ShopState, question[name]) for name in ("before", "after"))
    known = PlanOdds.objects.order_by("-revision").first()
    dice = Dice(samples_for(engine()), SEED)
    levels = (float(FROM_LEVEL), float(TO_LEVEL))
    if known is not None:  # the numbers the line's own windows were drawn with
        dice = Dice(dice.samples, known.seed, known.hours_center, known.hours_spread)
        levels = (known.from_level, known.to_level)
    is_now = _kept(known, before, now, dice) or _simulated(before, now, policies, dice)
    Trial.objects.filter(pk=trial.pk).update(halves=1)
    would_be = _simulated(after, now, policies, dice)
    promised = {build.number: build.promised_to for build in before.builds}
    numbers = [build.number for build in sorted(before.builds, key=lambda build: build.place)]
    return {
        "samples": dice.samples,
        "few": any(odds.few for odds in would_be.values()),
        "levels": levels,
        "builds": {
            number: [_told(line.get(number), levels, promised[number]) for line in (is_now, would_be)]
            for number in numbers
            if number in is_now or number in would_be
        },
    }


def _simulated(state: ShopState, now: datetime, policies: Policies, dice: Dice) -> Mapping[str, Odds]:
    return simulate_line(prepare_shop(state, now, now.date(), policies), dice)


def _kept(known: PlanOdds | None, state: ShopState, now: datetime, dice: Dice) -> Mapping[str, Odds]:
    """The line's own odds, when they are of this plan and day and of as many runs."""
    if known is None or (known.revision, known.day, known.samples) != (state.revision, now.date(), dice.samples):
        return {}
    return {number: from_json(Odds, odds) for number, odds in known.line.items()}


def _told(odds: Odds | None, levels: tuple[float, float], promised: date | None) -> list[Any] | None:
    """First day, last day, chance of the promise [0..1]."""
    if odds is None:
        return None
    chance = odds.chance_by(promised) if promised else None
    return [odds.day_at(levels[0]).isoformat(), odds.day_at(levels[1]).isoformat(), chance]


def question_text(values: Mapping[str, str]) -> str:
    """The same changes as the same text, in whatever order they stand in an address."""
    return json.dumps(sorted((name, value) for name, value in values.items() if value))
