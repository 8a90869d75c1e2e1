"""Figures as drawings: coordinates worked out here, drawn by templates/charts/, for pages and documents alike."""

from __future__ import annotations

from shop.charts.drawing import BarChart, LineChart
from shop.charts.pack import voltage_chart
from shop.charts.ride import power_chart, range_chart
from shop.charts.weight import axle_chart

__all__ = ["BarChart", "LineChart", "axle_chart", "power_chart", "range_chart", "voltage_chart"]
