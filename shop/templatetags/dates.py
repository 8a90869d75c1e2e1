"""Dates in templates, by the shop's locale and zone: {% day build.promised_to %}, {% late_by line.expected %}."""

from __future__ import annotations

from datetime import date, datetime

from django import template
from django.template import Context
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop import written
from shop.selectors.shop import shop_today

register = template.Library()
SOON_DAYS = 3  # common practice, no source: what falls within it is marked


def _today(context: Context) -> date:
    """The shop's date, worked out once per page."""
    known: date | None = context.render_context.get("shop_today")
    if known is None:
        known = context.render_context["shop_today"] = shop_today(context["shop"])
    return known


@register.simple_tag(takes_context=True)
def day(context: Context, value: date | None) -> SafeString | str:
    """A date as a time element: "Sep 3, 2026"."""
    if value is None:
        return ""
    return format_html('<time datetime="{}">{}</time>', value.isoformat(), written.day(value, context["shop"].locale))


@register.simple_tag(takes_context=True)
def window(context: Context, first: date | None, last: date | None) -> str:
    """A span of dates: "Sep 3 – 21"."""
    return written.window(first, last, context["shop"].locale, _today(context))


@register.simple_tag(takes_context=True)
def moment(context: Context, value: datetime | None) -> SafeString | str:
    """A date and a time: "Sep 3, 2026, 10:42 AM"."""
    if value is None:
        return ""
    text = written.moment(value, context["shop"].zone, context["shop"].locale)
    return format_html('<time datetime="{}">{}</time>', value.isoformat(), text)


@register.simple_tag(takes_context=True)
def clock(context: Context, value: datetime | None) -> SafeString | str:
    """The time of day: "10:42 AM"."""
    if value is None:
        return ""
    text = written.clock(value, context["shop"].zone, context["shop"].locale)
    return format_html('<time datetime="{}">{}</time>', value.isoformat(), text)


@register.simple_tag(takes_context=True)
def late_by(context: Context, due: date | None) -> SafeString | str:
    """How far a due date is, in words and marked: "late by 6 days", "in 2 days"."""
    if due is None:
        return "no date"
    today = _today(context)
    mark = "late" if due < today else "soon" if (due - today).days <= SOON_DAYS else "soft"
    return format_html('<span class="{}">{}</span>', mark, written.days_from(due, today))


@register.simple_tag(takes_context=True)
def days_ago(context: Context, value: date | None) -> str:
    """How long ago: "today", "1 day ago", "80 days ago"."""
    if value is None:
        return ""
    past = (_today(context) - value).days
    return "today" if past <= 0 else f"{past} day{'' if past == 1 else 's'} ago"
