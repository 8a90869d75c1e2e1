"""The figures of a quote on paper: each option's four drawings with what they show in words and as numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shop.charts import BarChart, LineChart, axle_chart, power_chart, range_chart, voltage_chart
from shop.documents.pen import Pen
from shop.documents.quote import Head, bike_rows, quote_document
from shop.documents.scan import ScanCode
from shop.selectors.documents import IssuedQuote

CAUTION = (
    "Worked out from the specifications of the parts, not measured. A competent person verifies them on the finished "
    "bike before it is ridden on the road."
)


@dataclass(frozen=True)
class OptionFigures:
    """One option: its drawings, those whose figures are known."""

    key: str
    heading: str
    charts: tuple[LineChart | BarChart, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class FiguresDocument:
    """Every option that has a figure to draw; `options` is empty for parts alone, or a repair."""

    head: Head
    number: str
    version: int
    dates: tuple[tuple[str, str], ...]
    bike: tuple[tuple[str, str], ...]
    options: tuple[OptionFigures, ...]
    code: ScanCode
    caution: str


def figures_document(issued: IssuedQuote) -> FiguresDocument:
    """From the frozen version, as the quote is; nothing is worked out anew."""
    quote, request = quote_document(issued), issued.request
    pen = Pen(issued.facts.letterhead.locale, request.currency, request.units)
    sheets = {sheet.key: sheet for sheet in quote.options}
    options = []
    for result in issued.result.options:
        sheet = sheets[result.key]
        charts = (
            range_chart(result.ride, request.units) if result.ride else None,
            power_chart(result.ride, request.units) if result.ride else None,
            voltage_chart(result.pack) if result.pack else None,
            axle_chart(result.weight, request.donor, request.units) if result.weight else None,
        )
        drawn = tuple(chart for chart in charts if chart is not None)
        if drawn:
            assumed = sheet.road.assumed if sheet.road else ()
            heading = sheet.heading if len(sheets) > 1 else "The build drawn"
            options.append(OptionFigures(key=result.key, heading=heading, charts=drawn, assumed=assumed))
    return FiguresDocument(
        head=replace(quote.head, title=quote.head.title.replace("Quote", "Figures of quote", 1)),
        number=quote.number,
        version=quote.version,
        dates=quote.dates[:1],
        bike=bike_rows(request.donor, pen),
        options=tuple(options),
        code=quote.code,
        caution=pen.own(CAUTION),
    )
