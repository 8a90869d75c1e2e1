"""Tax places: stacks of authorities with dated rates. Rates are the shop's responsibility."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from shop.models.catalogue import TaxClass
from shop.models.exact import MoneyField, RateField, new_public_id


class TaxAuthority(models.Model):
    """A state, county, city or district."""

    name = models.CharField(max_length=120)
    level = models.CharField(max_length=20, help_text="state, county, city, district, country")
    code = models.CharField(max_length=20, blank=True, help_text="As the authority publishes it, leading zeros kept.")

    class Meta:
        verbose_name_plural = "tax authorities"
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["name", "level"], name="tax_authority_once")]

    def __str__(self) -> str:
        return f"{self.name} ({self.level})"


class TaxRate(models.Model):
    """One authority's rate for a tax class from a day on; `end` is included, empty is open."""

    authority = models.ForeignKey(TaxAuthority, on_delete=models.CASCADE, related_name="rates")
    tax_class = models.CharField(max_length=20, choices=TaxClass)
    taxed = models.BooleanField(default=True)
    rate = RateField(default=Decimal(0), help_text="As a fraction: 0.0725 is 7.25 %.")
    begin = models.DateField()
    end = models.DateField(null=True, blank=True)
    cap = MoneyField(null=True, blank=True, help_text="Greatest taxable amount per document.")
    threshold = MoneyField(null=True, blank=True, help_text="Taxed only above this amount.")
    whole = models.BooleanField(
        "all or nothing",
        default=False,
        help_text="Above the threshold the whole amount is taxed, not only what exceeds it.",
    )
    per_item = models.BooleanField(default=False, help_text="Cap and threshold hold for each item, not the document.")

    class Meta:
        ordering = ["authority", "tax_class", "begin"]
        constraints = [
            models.UniqueConstraint(fields=["authority", "tax_class", "begin"], name="tax_rate_once_per_begin"),
            models.CheckConstraint(condition=Q(rate__gte=0, rate__lt=Decimal(1)), name="tax_rate_is_a_share"),
            models.CheckConstraint(condition=Q(end__isnull=True) | Q(end__gte=F("begin")), name="tax_rate_in_order"),
            models.CheckConstraint(condition=Q(taxed=True) | Q(rate=0), name="tax_rate_zero_when_not_taxed"),
            models.CheckConstraint(
                condition=Q(whole=False) | Q(threshold__isnull=False, threshold__gt=0),
                name="tax_rate_whole_has_threshold",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.authority} {self.tax_class} {self.rate} from {self.begin}"


class TaxPlace(models.Model):
    """Where a sale is sourced to."""

    class Mode(models.TextChoices):
        ADDED = "added", "Added on top"
        INCLUDED = "included", "Included in prices"

    class Point(models.TextChoices):
        INVOICE = "invoice", "With the invoice"
        PAYMENT = "payment", "When money is received"

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    code = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120)
    mode = models.CharField(max_length=8, choices=Mode, default=Mode.ADDED)
    tax_point = models.CharField(
        "tax is due",
        max_length=8,
        choices=Point,
        default=Point.INVOICE,
        help_text="With the invoice: a deposit carries no tax. When money is received: each deposit is taxed on its "
        "day and on its amount, and the invoice takes that off. Holds for deposits taken from now on. Which of the two "
        "is right, the tax authority decides.",
    )
    authorities = models.ManyToManyField(TaxAuthority, through="shop.TaxPlaceAuthority", related_name="places")

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class TaxPlaceAuthority(models.Model):
    """One layer of a tax place's stack."""

    place = models.ForeignKey(TaxPlace, on_delete=models.CASCADE, related_name="layers")
    authority = models.ForeignKey(TaxAuthority, on_delete=models.PROTECT, related_name="layers")
    position = models.PositiveSmallIntegerField(default=1)

    class Meta:
        verbose_name_plural = "tax place authorities"
        ordering = ["place", "position"]
        constraints = [models.UniqueConstraint(fields=["place", "authority"], name="tax_authority_once_per_place")]

    def __str__(self) -> str:
        return f"{self.place}: {self.authority}"


class TaxBoundary(models.Model):
    """One ZIP or ZIP+4 range of a boundary file, and the codes of the authorities that tax there.

    `kind` as published: "4" for ZIP+4, "Z" for five digits. Digits are kept as text, leading zeros and all, and compare
    as text. Rows are replaced whole when a state's file is read again.
    """

    class Kind(models.TextChoices):
        PLUS_4 = "4", "ZIP+4"
        ZIP = "Z", "ZIP"

    state = models.CharField(max_length=2)
    kind = models.CharField(max_length=1, choices=Kind)
    zip_low = models.CharField(max_length=5)
    zip_high = models.CharField(max_length=5)
    plus_low = models.CharField(max_length=4, blank=True)
    plus_high = models.CharField(max_length=4, blank=True)
    begin = models.DateField()
    end = models.DateField(null=True, blank=True)
    codes = models.JSONField(default=list)

    class Meta:
        verbose_name_plural = "tax boundaries"
        ordering = ["zip_low", "plus_low", "begin"]
        indexes = [models.Index(fields=["zip_low", "kind"], name="boundary_by_zip")]  # looked up by an address's ZIP
        constraints = [
            models.CheckConstraint(condition=Q(zip_high__gte=F("zip_low")), name="boundary_zip_in_order"),
            models.CheckConstraint(
                condition=Q(kind="Z", plus_low="", plus_high="")
                | (Q(kind="4", plus_high__gte=F("plus_low")) & ~Q(plus_low="")),
                name="boundary_extension_fits_kind",
            ),
            models.CheckConstraint(condition=Q(end__isnull=True) | Q(end__gte=F("begin")), name="boundary_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.zip_low} to {self.zip_high} from {self.begin}"
