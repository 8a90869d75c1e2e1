"""A shop's till run at random: everything that moves money, in any order, and what must hold after each step.

What is refused is refused; what is done is held against sums made here, straight from the rows and from what the
machine itself put in and took out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from shop.models import Build, BuildState, Component, LedgerEntry, Method, Quote, QuoteOption, QuoteVersion, Shop
from shop.selectors.build_money import build_money
from shop.selectors.invoices import creditable_lines, invoice_draft, invoice_owed
from shop.selectors.settlement import settlement_of
from shop.selectors.shop import shop_today
from shop.services.build_states import build_mark_ready
from shop.services.cash import deposit_take
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.change_accept import change_accept
from shop.services.change_orders import change_start
from shop.services.clearing import check_clear
from shop.services.credit_notes import credit_note_make, write_off
from shop.services.errors import Refused
from shop.services.hand_over import build_hand_over
from shop.services.invoices import build_tell_ready, invoice_make, storage_charge
from shop.services.payments import deposit_add, invoice_pay
from shop.services.quotes import version_offer, version_revise
from shop.services.refunds import build_cancel, refund_make
from shop.services.stock_count import stock_receive
from tests.shop import made_shop
from tests.shop.made_changes import AGREED
from tests.shop.made_offers import price_of
from tests.shop.money_truths import all_hold, end_holds

MOST_QUOTES = 8
CENT = Decimal("0.01")
METHODS = st.sampled_from(Method.values)
PICK = st.integers(0, 10**6)
SHARES = st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("0.5"), Decimal("0.99"), Decimal(1), Decimal("1.2")])
Row = TypeVar("Row")


class MoneyMachine(RuleBasedStateMachine):
    """`motor`, `owner` and `drawer_before` are set on the class by the test, which also makes the rows every run starts
    with; each run takes back what it wrote.
    """

    motor: Component
    owner: User
    drawer_before: Counter[str]
    done: Counter[str] = Counter()

    def __init__(self) -> None:
        super().__init__()
        self.atomic = transaction.atomic()
        self.atomic.__enter__()
        self.presses = 0
        self.drawer = Counter(self.drawer_before)  # what went into each account of money, less what came out

    def teardown(self) -> None:
        try:
            end_holds()
        finally:
            transaction.set_rollback(True)
            self.atomic.__exit__(None, None, None)

    @initialize(keep_from=st.sampled_from(["never", "parts", "work"]), basis=st.sampled_from(["spent", "share"]))
    def open_shop(self, keep_from: str, basis: str) -> None:
        Shop.objects.update(keep_from=keep_from, kept_basis=basis, kept_rate=Decimal("0.25"), storage_fee=Decimal(9))

    @rule(units=st.integers(1, 3), discount=st.booleans(), allowance=st.integers(0, 300))
    def offer(self, units: int, discount: bool, allowance: int) -> None:
        if Quote.objects.count() > MOST_QUOTES:
            return
        number = f"Q-{Quote.objects.count() + 1}"
        quote = Quote.objects.create(number=number, customer=made_shop.make_customer(number), job="parts_kit")
        version = QuoteVersion.objects.create(quote=quote, tax_place=Shop.objects.get().home_tax_place)
        off = {"discount_rate": Decimal("0.05"), "discount_reason": "winter"} if discount else {}
        engine = {"allowance_amount": Decimal(allowance), "allowance_label": "Old engine"} if allowance else {}
        option = QuoteOption.objects.create(version=version, key="A", **off, **engine)
        option.parts.create(component=self.motor, quantity=Decimal(units))
        self.act("offer", lambda _: version_offer(version=version, person=self.owner))

    @rule(pick=PICK)
    def revise(self, pick: int) -> None:
        version = self.one(QuoteVersion.objects.filter(state="offered", quote__versions__build=None), pick)
        if version:
            self.act(
                "revise",
                lambda _: version_offer(version=version_revise(version=version, person=self.owner), person=self.owner),
            )

    @rule(pick=PICK, more=SHARES, method=METHODS, again=st.booleans())
    def accept(self, pick: int, more: Decimal, method: str, again: bool) -> None:
        version = self.one(QuoteVersion.objects.filter(state="offered", change=None), pick)
        if not version:
            return
        price = price_of(version)
        amount = (price.deposit + (price.due - price.deposit) * more).quantize(CENT)
        key = self.key()
        for _ in range(2 if again else 1):  # a press repeated changes nothing
            self.act(
                "accept",
                lambda _: deposit_take(
                    version=version, option_key="A", amount=amount, method=method, person=self.owner, key=key
                ),
                lambda taken: self.moved(method, amount if taken.created else Decimal(0)),
            )

    @rule(pick=PICK, share=SHARES, method=METHODS, more=st.booleans())
    def deposit(self, pick: int, share: Decimal, method: str, more: bool) -> None:
        build = self.one(Build.objects.all(), pick)
        if build:
            amount = (max(build_money([build])[build.pk].owed, Decimal(20)) * share).quantize(CENT)
            self.act(
                "deposit",
                lambda key: deposit_add(
                    build=build, amount=amount, method=method, person=self.owner, key=key, allow_more=more
                ),
                lambda _: self.moved(method, amount),
            )

    @rule(pick=PICK, units=st.integers(1, 4))
    def change(self, pick: int, units: int) -> None:
        """A change order begun, offered and agreed to in one go."""
        build = self.one(Build.objects.filter(state="in_line"), pick)
        if build:
            self.act("change", lambda _: self.changed(build, units))

    def changed(self, build: Build, units: int) -> None:
        with transaction.atomic():
            change = change_start(build=build, reason="another motor", person=self.owner)
            change.version.options.get().parts.update(quantity=Decimal(units))
            version_offer(version=change.version, person=self.owner)
            change_accept(change=change, agreement=AGREED, person=self.owner, allow_less=True)

    @rule(pick=PICK)
    def ready(self, pick: int) -> None:
        build = self.one(Build.objects.filter(state="in_line"), pick)
        if build:
            stock_receive(component=self.motor, quantity=Decimal(9), person=self.owner)
            self.act("ready", lambda _: build_mark_ready(build=build, person=self.owner))
            if build.pk % 2:
                told = shop_today().replace(day=1)
                self.act("told", lambda _: build_tell_ready(build=build, told_on=told, person=self.owner))

    @rule(pick=PICK)
    def storage(self, pick: int) -> None:
        build = self.one(Build.objects.filter(told_ready_on__isnull=False), pick)
        if build:
            self.act("storage", lambda key: storage_charge(build=build, person=self.owner, key=key))

    @rule(pick=PICK, again=st.booleans())
    def invoice(self, pick: int, again: bool) -> None:
        build = self.one(Build.objects.filter(state="ready"), pick)
        if build:
            shown = invoice_draft(build).sheet.due
            key = self.key()
            for _ in range(2 if again else 1):
                self.act("invoice", lambda _: invoice_make(build=build, person=self.owner, key=key, shown=shown))

    @rule(pick=PICK, share=SHARES, method=METHODS, more=st.booleans())
    def pay(self, pick: int, share: Decimal, method: str, more: bool) -> None:
        invoice = self.one(self.invoices(), pick)
        if invoice:
            amount = (max(invoice_owed(invoice), Decimal(10)) * share).quantize(CENT)
            self.act(
                "pay",
                lambda key: invoice_pay(
                    invoice=invoice, amount=amount, method=method, person=self.owner, key=key, allow_more=more
                ),
                lambda _: self.moved(method, amount),
            )

    @rule(pick=PICK, whole=st.booleans())
    def credit(self, pick: int, whole: bool) -> None:
        invoice = self.one(self.invoices(), pick)
        if invoice:
            lines = None if whole else [row.line for row in creditable_lines(invoice) if not row.credited][:1]
            self.act(
                "credit",
                lambda key: credit_note_make(invoice=invoice, lines=lines, reason="wrong", person=self.owner, key=key),
            )

    @rule(pick=PICK)
    def give_up(self, pick: int) -> None:
        invoice = self.one(self.invoices(), pick)
        if invoice:
            self.act("write off", lambda key: write_off(invoice=invoice, reason="gone", person=self.owner, key=key))

    @rule(pick=PICK, share=SHARES, method=METHODS)
    def refund(self, pick: int, share: Decimal, method: str) -> None:
        build = self.one(Build.objects.all(), pick)
        if build:
            amount = (build_money([build])[build.pk].overpaid * share).quantize(CENT)
            self.act(
                "refund",
                lambda key: refund_make(
                    build=build, amount=amount, method=method, reason="over", person=self.owner, key=key
                ),
                lambda _: self.moved(method, -amount),
            )

    @rule(pick=PICK, method=METHODS, kept=st.sampled_from([None, Decimal(0), Decimal(50)]))
    def cancel(self, pick: int, method: str, kept: Decimal | None) -> None:
        build = self.one(Build.objects.exclude(state__in=["cancelled", "handed_over"]), pick)
        if build:
            settled = settlement_of(build)
            back = settled.refunded if kept is None else settled.held - kept
            self.act(
                "cancel",
                lambda key: build_cancel(
                    build=build, reason="moved", method=method, person=self.owner, key=key, kept=kept
                ),
                lambda entry: self.moved(method, -back if entry else Decimal(0)),
            )

    @rule(pick=PICK)
    def clear(self, pick: int) -> None:
        entry = self.one(LedgerEntry.objects.filter(kind__in=["deposit", "payment"], method="checks"), pick)
        if entry:
            self.act(
                "clear",
                lambda key: check_clear(entry=entry, cleared_on=shop_today(), person=self.owner, key=key),
                lambda made: self.moved("checks", -total(made), "bank"),
            )

    @rule(pick=PICK, stays=st.booleans())
    def undo(self, pick: int, stays: bool) -> None:
        entry = self.one(LedgerEntry.objects.exclude(kind="reversal"), pick)
        if entry:
            count = LedgerEntry.objects.count()
            self.act(
                f"undo {entry.kind}",
                lambda key: entry_reverse(entry=entry, reason="bounced", person=self.owner, key=key, keep_build=stays),
                lambda _: self.undone(count),
            )

    @rule(pick=PICK, method=METHODS, cents=st.integers(-500, 500))
    def correct(self, pick: int, method: str, cents: int) -> None:
        entry = self.one(LedgerEntry.objects.filter(kind="deposit"), pick)
        if entry:
            count, amount = LedgerEntry.objects.count(), total(entry) + cents * CENT
            self.act(
                "correct",
                lambda key: deposit_correct(
                    entry=entry, amount=amount, method=method, reason="typo", person=self.owner, key=key
                ),
                lambda _: self.undone(count, method, amount),
            )

    @rule(pick=PICK, override=st.sampled_from(["", "a friend"]))
    def hand_over(self, pick: int, override: str) -> None:
        build = self.one(Build.objects.filter(state=BuildState.READY), pick)
        if build:
            self.act("hand over", lambda _: build_hand_over(build=build, person=self.owner, override=override))

    @invariant()
    def holds(self) -> None:
        all_hold({name: Decimal(amount) for name, amount in self.drawer.items() if amount})

    def act(self, name: str, write: Callable[[str], Row], then: Callable[[Row], object] = lambda _: None) -> None:
        try:
            made = write(self.key())
        except Refused:
            return
        then(made)
        self.done[name] += 1

    def undone(self, count: int, method: str = "", amount: Decimal = Decimal(0)) -> None:
        """Reversals since there were so many entries take back what went into the drawer; read from what they undo.
        `amount` was entered anew by `method`.
        """
        self.moved(method, amount)
        for made in LedgerEntry.objects.filter(kind="reversal").order_by("number"):
            if made.number <= count:
                continue
            assert made.reverses is not None
            for posting in made.reverses.postings.all():
                if posting.debit in Method.values:
                    self.moved(posting.debit, -posting.amount)
                if posting.credit in Method.values:
                    self.moved(posting.credit, posting.amount)

    def moved(self, method: str, amount: Decimal, from_method: str = "") -> None:
        """Into one account of money, out of another if one is named."""
        self.drawer[method] += amount  # type: ignore[assignment]
        if from_method:
            self.drawer[from_method] -= amount  # type: ignore[assignment]

    def key(self) -> str:
        self.presses += 1
        return f"press {self.presses}"

    @staticmethod
    def invoices() -> Any:
        return LedgerEntry.objects.filter(kind__in=["invoice", "storage"])

    @staticmethod
    def one(rows: Any, pick: int) -> Any:
        found = list(rows.order_by("pk"))
        return found[pick % len(found)] if found else None


def total(entry: LedgerEntry) -> Decimal:
    return sum((posting.amount for posting in entry.postings.all()), Decimal(0))
