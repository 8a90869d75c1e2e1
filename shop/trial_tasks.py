"""Trials queued for the worker, in the transaction that puts the question down."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django_tasks import task

from quoting.request import Policies, ShopState
from shop.models import Trial
from shop.services.trials import trial_ask, trial_work


@task()
def work_out_trial(public_id: str) -> str:
    """One question; somebody looks at a page that waits for it."""
    return trial_work(public_id)


def ask(*, before: ShopState, after: ShopState, now: datetime, policies: Policies, asked: str) -> Trial:
    """The trial of a question, queued when it is a new one."""
    with transaction.atomic():
        trial, is_new = trial_ask(before=before, after=after, now=now, policies=policies, asked=asked)
        if is_new:
            work_out_trial.enqueue(trial.public_id)
    return trial
