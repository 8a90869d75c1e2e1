"""A shop's till run at random: everything that moves money, in any order, and what must hold after each step.

What is refused is refused; what is done is held against sums made here, straight from the rows and from what the
machine itself put in and took out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from shop.models import Build, Component, LedgerEntry, Method, Quote, QuoteVersion, Shop, TaxPlace, TaxRate
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
from tests.shop.made_changes import AGREED
from tests.shop.made_money import make_draft_kit
from tests.shop.made_offers import price_of
from tests.shop.money_book import INVOICES, Book, BuildRow, Entry, step_holds
from tests.shop.money_truths import end_holds

CENT = Decimal("0.01")
METHODS = st.sampled_from(Method.values)
PICK = st.integers(0, 10**6)
SHARES = st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("0.5"), Decimal("0.99"), Decimal(1), Decimal("1.2")])
Row = TypeVar("Row")
STEPS = 200  # a run
LOOK = 5
TRIES = 3  # refused so often with nothing done since, an act waits until something else has been done
ANEW = ("offer", "revise", "change", "rates")  # what the engine works out takes as long as ten payments: seldom
RATES = st.sampled_from([Decimal("0.05"), Decimal("0.1"), Decimal("0.2")])
OPEN = ("in_line", "on_bench", "testing", "ready")


def when(act: str, *conditions: Callable[[Any], bool]) -> Callable[[Any], Any]:
    """A rule that is tried when all of these hold, and while it is not refused over and over."""
    return precondition(
        lambda machine: (
            machine.refused[act] < TRIES
            and (act not in ANEW or machine.anew)
            and all(condition(machine) for condition in conditions)
        )
    )


def some(*kinds: str) -> Callable[[Any], bool]:
    """Whether the book holds such an entry."""
    return lambda machine: any(entry.kind in kinds for entry in machine.book.entries.values())


def standing(*states: str) -> Callable[[Any], bool]:
    """Whether a build is in such a state."""
    return lambda machine: any(build.state in states for build in machine.book.builds)


class MoneyMachine(RuleBasedStateMachine):
    """`motor`, `owner`, `places` and `drawer_before` are set on the class by the test, which also makes the rows every
    run starts with; each run takes back what it wrote. `asked` counts the steps, a rule that asked a service for
    something being one; `done` what was not refused.
    """

    motor: Component
    owner: User
    places: Sequence[TaxPlace]
    drawer_before: Counter[str]
    asked: Counter[str] = Counter()
    done: Counter[str] = Counter()

    def __init__(self) -> None:
        super().__init__()
        self.atomic = transaction.atomic()
        self.atomic.__enter__()
        self.presses = 0
        self.anew = 0
        self.changed_something = False
        self.refused: Counter[str] = Counter()
        self.drawer = Counter(self.drawer_before)  # what went into each account of money, less what came out
        self.book = Book()
        self.new = self.book.read()

    def teardown(self) -> None:
        try:
            end_holds()
        finally:
            transaction.set_rollback(True)
            self.atomic.__exit__(None, None, None)

    @initialize(
        keep_from=st.sampled_from(["never", "parts", "work"]),
        basis=st.sampled_from(["spent", "share"]),
        anew=st.integers(1, 3),
    )
    def open_shop(self, keep_from: str, basis: str, anew: int) -> None:
        self.anew = anew
        Shop.objects.update(keep_from=keep_from, kept_basis=basis, kept_rate=Decimal("0.25"), storage_fee=Decimal(9))

    @when("offer")
    @rule(units=st.integers(1, 3), discount=st.booleans(), allowance=st.integers(0, 300), at=PICK)
    def offer(self, units: int, discount: bool, allowance: int, at: int) -> None:
        place = self.places[at % len(self.places)]
        version = make_draft_kit(f"Q-{Quote.objects.count() + 2}", {self.motor: units}, discount, allowance, place)
        self.act("offer", lambda _: version_offer(version=version, person=self.owner))

    @when("rates")
    @rule(rate=RATES, at=PICK)
    def rates(self, rate: Decimal, at: int) -> None:
        """The authorities of a place take another rate, from now on and as if they always had."""
        rows = TaxRate.objects.filter(authority__places=self.places[at % len(self.places)], taxed=True)
        self.act("rates", lambda _: TaxRate.objects.filter(pk__in=rows.values("pk")).update(rate=rate))

    @when("revise")
    @rule(pick=PICK)
    def revise(self, pick: int) -> None:
        version = self.version(QuoteVersion.objects.filter(state="offered", quote__versions__build=None), pick)
        if not version:
            self.refused["revise"] += 1
            return
        self.act(
            "revise",
            lambda _: version_offer(version=version_revise(version=version, person=self.owner), person=self.owner),
        )

    @when("accept")
    @rule(pick=PICK, more=SHARES, method=METHODS, again=st.booleans())
    def accept(self, pick: int, more: Decimal, method: str, again: bool) -> None:
        version = self.version(QuoteVersion.objects.filter(state="offered", change=None), pick)
        if not version:
            self.refused["accept"] += 1
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

    @when("deposit")
    @rule(pick=PICK, share=SHARES, method=METHODS, more=st.booleans())
    def deposit(self, pick: int, share: Decimal, method: str, more: bool) -> None:
        build = self.build(pick, OPEN)
        amount = (max(build_money([build])[build.pk].owed, Decimal(20)) * share).quantize(CENT)
        self.act(
            "deposit",
            lambda key: deposit_add(
                build=build, amount=amount, method=method, person=self.owner, key=key, allow_more=more
            ),
            lambda _: self.moved(method, amount),
        )

    @when("change", standing("in_line"))
    @rule(pick=PICK, units=st.integers(1, 4))
    def change(self, pick: int, units: int) -> None:
        """A change order begun, offered and agreed to in one go."""
        build = self.build(pick, ("in_line",), strict=True)
        self.act("change", lambda _: self.changed(build, units))

    def changed(self, build: Build, units: int) -> None:
        with transaction.atomic():
            change = change_start(build=build, reason="another motor", person=self.owner)
            change.version.options.get().parts.update(quantity=Decimal(units))
            version_offer(version=change.version, person=self.owner)
            change_accept(change=change, agreement=AGREED, person=self.owner, allow_less=True)

    @when("ready", standing("in_line"))
    @rule(pick=PICK)
    def ready(self, pick: int) -> None:
        build = self.build(pick, ("in_line",), strict=True)
        stock_receive(component=self.motor, quantity=Decimal(9), person=self.owner)
        self.act("ready", lambda _: build_mark_ready(build=build, person=self.owner))
        if build.pk % 2:
            told = shop_today().replace(day=1)
            self.act("told", lambda _: build_tell_ready(build=build, told_on=told, person=self.owner))

    @when("storage", lambda self: any(build.told for build in self.book.builds))
    @rule(pick=PICK)
    def storage(self, pick: int) -> None:
        told = [build for build in self.book.builds if build.told]
        build = Build.objects.get(pk=told[pick % len(told)].pk)
        self.act("storage", lambda key: storage_charge(build=build, person=self.owner, key=key))

    @when("invoice", standing("ready"))
    @rule(pick=PICK, again=st.booleans())
    def invoice(self, pick: int, again: bool) -> None:
        build = self.build(pick, ("ready",), strict=True)
        shown = invoice_draft(build).sheet.due if again else None
        key = self.key()
        for _ in range(2 if again else 1):
            self.act("invoice", lambda _: invoice_make(build=build, person=self.owner, key=key, shown=shown))

    @when("pay", some(*INVOICES))
    @rule(pick=PICK, share=SHARES, method=METHODS, more=st.booleans())
    def pay(self, pick: int, share: Decimal, method: str, more: bool) -> None:
        invoice = self.entry(pick, self.book.of(*INVOICES), lambda entry: self.book.owed[entry.pk] > 0)
        amount = (max(invoice_owed(invoice), Decimal(10)) * share).quantize(CENT)
        self.act(
            "pay",
            lambda key: invoice_pay(
                invoice=invoice, amount=amount, method=method, person=self.owner, key=key, allow_more=more
            ),
            lambda _: self.moved(method, amount),
        )

    @when("credit", some(*INVOICES))
    @rule(pick=PICK, whole=st.booleans())
    def credit(self, pick: int, whole: bool) -> None:
        invoice = self.entry(pick, self.book.of(*INVOICES))
        lines = None if whole else [row.line for row in creditable_lines(invoice) if not row.credited][:1]
        self.act(
            "credit",
            lambda key: credit_note_make(invoice=invoice, lines=lines, reason="wrong", person=self.owner, key=key),
        )

    @when("write off", some(*INVOICES))
    @rule(pick=PICK)
    def give_up(self, pick: int) -> None:
        invoice = self.entry(pick, self.book.of(*INVOICES), lambda entry: self.book.owed[entry.pk] > 0)
        self.act("write off", lambda key: write_off(invoice=invoice, reason="gone", person=self.owner, key=key))

    @when("refund")
    @rule(pick=PICK, share=SHARES, method=METHODS)
    def refund(self, pick: int, share: Decimal, method: str) -> None:
        build = self.build(pick, (), lambda row: self.book.held[row.pk] > 0)
        amount = (build_money([build])[build.pk].overpaid * share).quantize(CENT)
        self.act(
            "refund",
            lambda key: refund_make(
                build=build, amount=amount, method=method, reason="over", person=self.owner, key=key
            ),
            lambda _: self.moved(method, -amount),
        )

    @when("cancel", standing(*OPEN))
    @rule(pick=PICK, method=METHODS, kept=st.sampled_from([None, Decimal(0), Decimal(50)]))
    def cancel(self, pick: int, method: str, kept: Decimal | None) -> None:
        build = self.build(pick, OPEN, strict=True)
        back = settlement_of(build).refunded if kept is None else self.book.held[build.pk] - kept
        self.act(
            "cancel",
            lambda key: build_cancel(build=build, reason="moved", method=method, person=self.owner, key=key, kept=kept),
            lambda entry: self.moved(method, -back if entry else Decimal(0)),
        )

    @when("clear", lambda self: any(entry.by_check for entry in self.book.entries.values()))
    @rule(pick=PICK)
    def clear(self, pick: int) -> None:
        checks = [entry for entry in self.book.entries.values() if entry.by_check]
        entry = self.entry(pick, checks, lambda each: each.pk not in self.book.gone | self.book.cleared)
        self.act(
            "clear",
            lambda key: check_clear(entry=entry, cleared_on=shop_today(), person=self.owner, key=key),
            lambda made: self.moved("checks", -self.amount(made), "bank"),
        )

    @rule(pick=PICK, stays=st.booleans())
    def undo(self, pick: int, stays: bool) -> None:
        entries = [entry for entry in self.book.entries.values() if entry.kind != "reversal"]
        entry = self.entry(pick, entries, lambda each: each.pk not in self.book.gone)
        self.act(
            f"undo {entry.kind}",
            lambda key: entry_reverse(entry=entry, reason="bounced", person=self.owner, key=key, keep_build=stays),
            lambda _: self.undone(),
        )

    @when("correct")
    @rule(pick=PICK, method=METHODS, cents=st.integers(-500, 500))
    def correct(self, pick: int, method: str, cents: int) -> None:
        entry = self.entry(pick, self.book.of("deposit"), lambda each: each.pk not in self.book.gone)
        amount = self.amount(entry) + cents * CENT
        self.act(
            "correct",
            lambda key: deposit_correct(
                entry=entry, amount=amount, method=method, reason="typo", person=self.owner, key=key
            ),
            lambda _: self.undone(method, amount),
        )

    @when("hand over", standing("ready"))
    @rule(pick=PICK, override=st.sampled_from(["", "a friend"]))
    def hand_over(self, pick: int, override: str) -> None:
        build = self.build(pick, ("ready",), strict=True)
        self.act("hand over", lambda _: build_hand_over(build=build, person=self.owner, override=override))

    @invariant()
    def holds(self) -> None:
        if not self.changed_something and self.asked.total() % LOOK:
            return  # refused: a look now and then tells whether that left anything behind
        self.changed_something = False
        self.new += self.book.read()
        step_holds(self.book, self.new, {name: Decimal(amount) for name, amount in self.drawer.items() if amount})
        self.new = []

    def act(self, name: str, write: Callable[[str], Row], then: Callable[[Row], object] = lambda _: None) -> None:
        self.asked[name] += 1
        try:
            made = write(self.key())
        except Refused:
            self.refused[name.split(" ")[0] if name.startswith("undo") else name] += 1
            return
        then(made)
        self.changed_something = True
        self.refused.clear()
        self.done[name] += 1
        self.anew -= name in ANEW

    def undone(self, method: str = "", amount: Decimal = Decimal(0)) -> None:
        """Reversals since the last step take back what went into the drawer; read from what they undo. `amount` was
        entered anew by `method`.
        """
        self.moved(method, amount)
        self.new += self.book.read()
        for made in self.new:
            for debit, credit, moved in self.book.entries[made.reverses].postings if made.reverses else ():
                if debit in Method.values:
                    self.moved(debit, -moved)
                if credit in Method.values:
                    self.moved(credit, moved)

    def moved(self, method: str, amount: Decimal, from_method: str = "") -> None:
        """Into one account of money, out of another if one is named."""
        self.drawer[method] += amount  # type: ignore[assignment]
        if from_method:
            self.drawer[from_method] -= amount  # type: ignore[assignment]

    def key(self) -> str:
        self.presses += 1
        return f"press {self.presses}"

    def amount(self, entry: LedgerEntry) -> Decimal:
        """All that an entry moves, tax charged ahead left aside."""
        return entry.moved

    def build(
        self, pick: int, states: Sequence[str], fit: Callable[[BuildRow], bool] | None = None, *, strict: bool = False
    ) -> Build:
        """A build; one that fits in three picks of four, and always when `strict`."""
        rows = self.book.builds
        fitting = [row for row in rows if (not states or row.state in states) and (fit is None or fit(row))]
        chosen = fitting if fitting and (strict or pick % 4) else rows
        return Build.objects.get(pk=chosen[pick % len(chosen)].pk)

    @staticmethod
    def entry(pick: int, rows: Sequence[Entry], fit: Callable[[Entry], bool] = lambda _: True) -> LedgerEntry:
        """An entry; one that fits in three picks of four."""
        fitting = [row for row in rows if fit(row)]
        chosen = fitting if fitting and pick % 4 else rows
        return LedgerEntry.objects.get(pk=chosen[pick % len(chosen)].pk)

    @staticmethod
    def version(rows: Any, pick: int) -> QuoteVersion | None:
        found = list(rows.order_by("pk").values_list("pk", flat=True))
        return QuoteVersion.objects.select_related("quote").get(pk=found[pick % len(found)]) if found else None
