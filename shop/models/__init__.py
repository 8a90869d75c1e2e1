"""Every record the shop keeps."""

from shop.models.bench import Bench, BenchDowntime, BenchType, Job, Leave, Person, RoutingStep, Skill
from shop.models.builds import CLOSED_STATES, Build, BuildState, BuildStep, PartNeed, PromiseEntry, StepState
from shop.models.cash import Account, EntryKind, EntryTax, LedgerEntry, Method, Posting
from shop.models.catalogue import (
    Component,
    ExchangeRate,
    Offer,
    OfferBreak,
    Supplier,
    SupplierClosure,
    SupplierColumns,
    TaxClass,
)
from shop.models.changes import AgreedHow, ChangeOrder
from shop.models.country import CountrySheet, PowerCounts
from shop.models.customers import Customer, ExemptCertificate, ExemptKind
from shop.models.documents import DocumentFacts, IssuedPaper, PaperFile, PaperKind
from shop.models.donors import Bay, BrakeKind, Donor, DonorFamily, FrameKind, Market, Side
from shop.models.events import Event
from shop.models.feeds import BookedPlan, BookedStep, Feed, FeedKind
from shop.models.imports import ImportFile, ImportSubject
from shop.models.mail import Mail, MailState
from shop.models.odds import PlanOdds
from shop.models.orders import ExpectedDateChange, OrderState, PastPurchase, PurchaseOrder, PurchaseOrderLine
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
from shop.models.replans import Replan
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
    TaxSourcing,
    Units,
)
from shop.models.stock import MoveKind, StockMove
from shop.models.swaps import Lending, Substitute
from shop.models.tax import TaxAuthority, TaxBoundary, TaxPlace, TaxPlaceAuthority, TaxRate
from shop.models.trials import Trial
from shop.models.turns import StepTurn
from shop.models.units import BATCH_KINDS, SERIAL_KINDS, StockUnit, UnitMove, UnitPlace

__all__ = [
    "BATCH_KINDS",
    "CLOSED_STATES",
    "OPTION_KEYS",
    "SERIAL_KINDS",
    "Account",
    "AgreedHow",
    "Bay",
    "Bench",
    "BenchDowntime",
    "BenchType",
    "BookedPlan",
    "BookedStep",
    "BrakeKind",
    "Build",
    "BuildState",
    "BuildStep",
    "ChangeOrder",
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
    "ExemptCertificate",
    "ExemptKind",
    "ExpectedDateChange",
    "Feed",
    "FeedKind",
    "FrameKind",
    "ImportFile",
    "ImportSubject",
    "IssuedPaper",
    "Job",
    "KeptBasis",
    "Leave",
    "LedgerEntry",
    "Lending",
    "LineLock",
    "Mail",
    "MailState",
    "Market",
    "Method",
    "MoveKind",
    "Offer",
    "OfferBreak",
    "OpeningHours",
    "OptionExtra",
    "OptionPart",
    "OptionStep",
    "OrderState",
    "Paper",
    "PaperFile",
    "PaperKind",
    "PartNeed",
    "PastPurchase",
    "Person",
    "PlanOdds",
    "Posting",
    "PowerCounts",
    "PromiseEntry",
    "PurchaseOrder",
    "PurchaseOrderLine",
    "Quote",
    "QuoteOption",
    "QuoteVersion",
    "RefundStage",
    "Replan",
    "RoutingStep",
    "Sequence",
    "Shop",
    "Side",
    "Skill",
    "StepState",
    "StepTurn",
    "StockMove",
    "StockUnit",
    "Substitute",
    "Supplier",
    "SupplierClosure",
    "SupplierColumns",
    "TaxAuthority",
    "TaxBoundary",
    "TaxClass",
    "TaxPlace",
    "TaxPlaceAuthority",
    "TaxRate",
    "TaxRounding",
    "TaxSourcing",
    "Trial",
    "UnitMove",
    "UnitPlace",
    "Units",
    "VersionState",
]
