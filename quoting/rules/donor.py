"""The donor's papers, and what is left of it afterwards."""

from __future__ import annotations

from quoting.parts import Adapter
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Says, plainly
from quoting.rules.ways_out import act
from quoting.vin import check_vin


@rule(
    "donor-papers",
    "donor",
    title="Title and stolen check are not done",
    levels=("check",),
    reads=("donor.label",),
    jobs=BUILDS,
    source="public practitioner report, case C31: no work order before title and VIN check",
)
def donor_papers(facts: Facts, label: str) -> Says:
    """Someone has seen the title and looked the donor up as not stolen."""
    donor = facts.setup.donor
    if donor is None:
        return None
    todo = [word for word, done in (("title", donor.title_seen), ("stolen check", donor.stolen_check_done)) if not done]
    if not todo:
        return None
    text = f"{label}: {' and '.join(todo)} still to do. Work on a bike the customer does not own is lost."
    return plainly(
        "check", text, act("See the title, compare the VIN on frame and paper, keep the receipt of the check")
    )


@rule(
    "vin",
    "donor",
    title="VIN or frame number",
    levels=("stop", "check", "note"),
    reads=("donor.label",),
    jobs=BUILDS,
    source="49 CFR 565.15; before model year 1981 there is no common form",
)
def vin(facts: Facts, label: str) -> Says:
    """The VIN is well formed, its check digit is right, and its year is the donor's."""
    donor = facts.setup.donor
    if donor is None:
        return None
    seen = check_vin(donor.vin or "", donor.year, donor.market)
    if not seen.level:
        return None
    return plainly(seen.level, f"{label}: {seen.message}", *((act(seen.remedy),) if seen.remedy else ()))


@rule(
    "reversible",
    "donor",
    title="What is cut, and what is not",
    levels=("note",),
    when=("adapter",),
    jobs=("conversion",),
    may_read=("adapter.reversible",),
    source="what the adapters' specs say; common practice, no source",
)
def reversible(facts: Facts) -> Says:
    """The quote says whether the frame stays uncut, so that the bike can go back to petrol."""
    adapters = facts.setup.all(Adapter)
    cuts = [item.line.name for item in adapters if item.part.reversible is False]
    unsaid = [item.line.name for item in adapters if item.part.reversible is None]
    if cuts:
        return plainly("note", f"Not reversible: {', '.join(cuts)} cut or weld the frame. The customer signs for it.")
    if unsaid:
        return plainly(
            "note", f"Not known whether {', '.join(unsaid)} cut the frame, so the quote may not say it is reversible."
        )
    return plainly(
        "note", "Everything bolts to what is there: the frame stays uncut, and the bike can go back to petrol."
    )
