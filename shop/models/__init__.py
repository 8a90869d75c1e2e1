"""Every record the shop keeps."""

from shop.models.bench import Bench, BenchDowntime, BenchType, Job, Leave, Person, RoutingStep, Skill
from shop.models.builds import CLOSED_STATES, Build, BuildState, BuildStep, PartNeed, PromiseEntry, StepState
from shop.models.cash import Account, EntryKind, EntryTax, LedgerEntry, Method, Posting
from shop.models.catalogue import Component, ExchangeRate, Offer, Supplier, SupplierClosure, TaxClass
from shop.models.country import CountrySheet, PowerCounts
from shop.models.customers import Customer
from shop.models.documents import DocumentFacts, IssuedPaper, PaperFile, PaperKind
from shop.models.donors import Bay, BrakeKind, Donor, DonorFamily, FrameKind, Market, Side
from shop.models.events import Event
from shop.models.imports import ImportFile
from shop.models.orders import ExpectedDateChange, OrderState, PurchaseOrder, PurchaseOrderLine
from shop.models.quotes import (
    OPTION_KEYS,
    CheckDecision,
    OptionExtra,
    OptionPart,
    OptionStep,
    Quote,
    QuoteOption,
    QuoteVersion,
    VersionState,
)
from shop.models.shop import (
    ClosedDays,
    KeptBasis,
    LineLock,
    OpeningHours,
    Paper,
    RefundStage,
    Sequence,
    Shop,
    TaxRounding,
    Units,
)
from shop.models.stock import MoveKind, StockMove
from shop.models.tax import TaxAuthority, TaxPlace, TaxPlaceAuthority, TaxRate

__all__ = [
    "CLOSED_STATES",
    "OPTION_KEYS",
    "Account",
    "Bay",
    "Bench",
    "BenchDowntime",
    "BenchType",
    "BrakeKind",
    "Build",
    "BuildState",
    "BuildStep",
    "CheckDecision",
    "ClosedDays",
    "Component",
    "CountrySheet",
    "Customer",
    "DocumentFacts",
    "Donor",
    "DonorFamily",
    "EntryKind",
    "EntryTax",
    "Event",
    "ExchangeRate",
    "ExpectedDateChange",
    "FrameKind",
    "ImportFile",
    "IssuedPaper",
    "Job",
    "KeptBasis",
    "Leave",
    "LedgerEntry",
    "LineLock",
    "Market",
    "Method",
    "MoveKind",
    "Offer",
    "OpeningHours",
    "OptionExtra",
    "OptionPart",
    "OptionStep",
    "OrderState",
    "Paper",
    "PaperFile",
    "PaperKind",
    "PartNeed",
    "Person",
    "Posting",
    "PowerCounts",
    "PromiseEntry",
    "PurchaseOrder",
    "PurchaseOrderLine",
    "Quote",
    "QuoteOption",
    "QuoteVersion",
    "RefundStage",
    "RoutingStep",
    "Sequence",
    "Shop",
    "Side",
    "Skill",
    "StepState",
    "StockMove",
    "Supplier",
    "SupplierClosure",
    "TaxAuthority",
    "TaxClass",
    "TaxPlace",
    "TaxPlaceAuthority",
    "TaxRate",
    "TaxRounding",
    "Units",
    "VersionState",
]
