"""Addresses of the plan: benches and their order, What-if, calendars to follow from elsewhere."""

from __future__ import annotations

from django.urls import path

from shop.views import bench_order, bench_plan, calendars, what_if, what_if_odds

plan_pages = [
    path("bench-plan/", bench_plan.bench_plan, name="bench-plan"),
    path("bench-plan/order/", bench_order.bench_order, name="bench-order"),
    path("bench-plan/turns/<slug:turn_id>/back/", bench_order.turn_return, name="turn-back"),
    path("bench-plan/replans/<slug:public_id>/", bench_order.replan_look, name="replan"),
    path("what-if/", what_if.what_if, name="what-if"),
    path("what-if/apply/", what_if.what_if_apply, name="what-if-apply"),
    path("what-if/odds/", what_if_odds.odds_ask, name="what-if-odds"),
    path("what-if/odds/<slug:trial_id>/", what_if_odds.odds_answer, name="what-if-odds-answer"),
    path("calendars/", calendars.calendars, name="calendars"),
    path("calendars/new/", calendars.calendar_new, name="calendar-new"),
    path("calendars/<slug:public_id>/revoke/", calendars.calendar_revoke, name="calendar-revoke"),
    path("calendars/<slug:token>.ics", calendars.calendar_feed, name="calendar-feed"),
]
