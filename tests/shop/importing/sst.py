"""Invented rows in the published layout of the Streamlined Sales Tax files; state 98 does not exist."""

from __future__ import annotations

RATES = """\
98,45,98,0.05,0.05,0.05,0.05,20200101,29991231
98,00,7,0.01,0.01,,,20220401,20260630
98,00,7,0.015,0.015,,,20260701,29991231
98,01,4500,0.02,0.02,,,20240101,29991231
98,63,12,0.0025,0.0025,,,20240101,29991231
"""


def zip_row(kind: str, low: str, high: str = "", *, plus: tuple[str, str] = ("", ""), **changed: object) -> str:
    """A boundary row of 89 columns: county 7, place 4500 unless told otherwise; `districts` codes of kind 63."""
    cells = [""] * int(changed.get("columns", 89))  # type: ignore[call-overload]
    cells[0], cells[1], cells[2] = kind, str(changed.get("begin", "20240101")), str(changed.get("end", "29991231"))
    cells[17], cells[18], cells[19], cells[20] = low, plus[0], high or low, plus[1]
    cells[22], cells[23] = "98", "1"
    cells[24], cells[25] = str(changed.get("county", "7")), str(changed.get("place", "4500"))
    for number, code in enumerate(changed.get("districts", ())):  # type: ignore[var-annotated, arg-type]
        cells[29 + 3 * number : 32 + 3 * number] = ["1", code, "63"]
    return ",".join(cells)
