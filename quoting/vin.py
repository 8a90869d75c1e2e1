"""Vehicle identification numbers: form, check digit, model year; and frame numbers of older bikes.

Source: 49 CFR 565.15 (tables III to V: letters to numbers, weights, remainder) and its model-year code; ISO 3779 for
the alphabet. The check digit is a North American rule. For motorcycles place 7 does not tell the two 30-year cycles
apart, so the year is asked.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

LENGTH = 17
FIRST_VIN_YEAR = 1981  # 49 CFR 565: from model year 1981; before it 5 to 17 characters in no common form
SHORTEST_FRAME_NUMBER = 5
NORTH_AMERICA = "north america"
VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
FIRST_CODED_YEAR, CYCLE_YEARS = 1980, 30
LOOKALIKES = str.maketrans("IOQ", "100")  # the three letters a VIN never has, and the figures they are misread for


@dataclass(frozen=True, kw_only=True)
class VinCheck:
    """What can be said of a number.

    `normalized` as it is kept. `level` "" when there is nothing to say, else note, check or stop; `ok` for "" and note.
    `message` what is seen, `remedy` what to do. `years` the model years its code may stand for, `expected` the check
    digit its other characters give (17 allowed characters only).
    """

    normalized: str
    level: str
    message: str
    remedy: str = ""
    years: tuple[int, ...] = ()
    expected: str | None = None

    @property
    def ok(self) -> bool:
        return self.level in ("", "note")


def check_digit(vin: str) -> str:
    """The check digit [0-9 or X] that 17 allowed characters give. Raises KeyError for a character that is not allowed.

    Source: 49 CFR 565.15(c): weighted sum modulo 11, 10 written X; place 9 itself has weight 0.
    """
    remainder = sum(VALUES[letter] * weight for letter, weight in zip(vin, WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def model_years(code: str) -> tuple[int, ...]:
    """The two model years a code at place 10 may stand for; none for I, O, Q, U, Z and 0. Source: 49 CFR 565.15."""
    if len(code) != 1 or code not in YEAR_CODES:
        return ()
    first = FIRST_CODED_YEAR + YEAR_CODES.index(code)
    return (first, first + CYCLE_YEARS)


def normalized(text: str) -> str:
    """Capitals without spaces; dashes and dots go too when 17 letters and figures remain."""
    plain = re.sub(r"\s+", "", text).upper()
    bare = re.sub(r"[-.]", "", plain)
    return bare if len(bare) == LENGTH else plain


def check_vin(text: str, year: int | None = None, market: str | None = None) -> VinCheck:
    """Look at a VIN or frame number as typed.

    Parameters: `text` as typed; `year` the model year, None when not known; `market` the bike was made for: "north
    america" makes the check digit binding, None or anything else does not. Returns: VinCheck. Raises nothing: a wrong
    number is something to say, not an error.
    """
    number = normalized(text)
    strict = market == NORTH_AMERICA
    wrong = "stop" if strict else "check"
    if not number:
        return VinCheck(
            normalized="", level="check", message="No VIN or frame number.", remedy="Read it off frame and title."
        )
    if not re.fullmatch(r"[A-Z0-9./-]+", number):
        return VinCheck(
            normalized=number,
            level=wrong,
            message="It has a character that is neither letter nor figure.",
            remedy="Read it off the frame again; use capitals A to Z and 0 to 9.",
        )
    if not number.strip("0.-/"):
        return VinCheck(
            normalized=number,
            level="stop",
            message="All zeros is no number of a bike.",
            remedy="Read it off frame and title.",
        )
    if year is not None and year < FIRST_VIN_YEAR:
        return _frame_number(number)
    if len(number) != LENGTH:
        return _wrong_length(number, year, strict)
    if not set(number) <= set(VALUES):
        return _wrong_letters(number, wrong)
    return _seventeen(number, year, market)


def _frame_number(number: str) -> VinCheck:
    if not SHORTEST_FRAME_NUMBER <= len(number) <= LENGTH:
        return VinCheck(
            normalized=number,
            level="check",
            message=f"{len(number)} characters; frame numbers before 1981 have 5 to 17.",
            remedy="Count them again on the frame.",
        )
    return VinCheck(
        normalized=number,
        level="note",
        message="Frame number from before 1981: no common form and no check digit to go by.",
        remedy="Compare it character by character on frame and title.",
    )


def _wrong_length(number: str, year: int | None, strict: bool) -> VinCheck:
    count = f"{len(number)} character{'' if len(number) == 1 else 's'}; a VIN has 17 from model year 1981 on."
    if year is None:
        level, remedy = "check", "Enter the model year if the bike is older, or count again."
    elif strict:
        level, remedy = "stop", "Count them again on frame and title."
    else:
        level, remedy = "check", "Bikes sold elsewhere may carry a shorter frame number: compare it with the title."
    return VinCheck(normalized=number, level=level, message=count, remedy=remedy)


def _wrong_letters(number: str, level: str) -> VinCheck:
    wrong = "".join(sorted(set(number) - set(VALUES)))
    likely = number.translate(LOOKALIKES)
    remedy = "Read it again: I is a 1; O and Q are a 0."
    if set(likely) <= set(VALUES) and check_digit(likely) == likely[8]:
        remedy = f"Is it {likely}? Its check digit is right."
    return VinCheck(
        normalized=number, level=level, message=f"{', '.join(wrong)} is never part of a VIN.", remedy=remedy
    )


def _seventeen(number: str, year: int | None, market: str | None) -> VinCheck:
    """17 allowed characters: check digit, then model year."""
    strict = market == NORTH_AMERICA
    expected, years = check_digit(number), model_years(number[9])
    right = expected == number[8]

    def said(level: str, message: str, remedy: str = "") -> VinCheck:
        return VinCheck(normalized=number, level=level, message=message, remedy=remedy, years=years, expected=expected)

    if not right and (strict or number[0] in "12345"):  # 1 to 5 at place 1: made in North America
        message = f"The check digit at place 9 is {number[8]}; the other characters give {expected}."
        return said(
            "stop" if strict else "check", message, "Read it again: two swapped, or a B for an 8, an S for a 5."
        )
    if strict and not years:
        return said("stop", f"{number[9]} at place 10 is no model-year code.", "Read it again on frame and title.")
    coded = " or ".join(str(each) for each in years)
    digit = "Check digit right. " if right else "No check digit to go by outside North America. "
    if year is None:
        if years:
            return said("check", f"{digit}Place 10 says model year {coded}.", "Choose the model year.")
        return said("check", f"{digit}Place 10 does not tell the model year.", "Enter the model year.")
    if year not in years:
        seen = f"says model year {coded}" if years else "does not tell the model year"
        level = "check" if strict else "note"
        return said(level, f"{digit}Place 10 {seen}; {year} was entered.", "Compare with the title.")
    if not right:
        return said("note", f"{digit}Model year {year} agrees with place 10.", "Compare it with the title.")
    return said("", f"{digit}Model year {year} agrees with place 10.")
