"""What a service says when it will not do something."""

from __future__ import annotations


class Refused(Exception):  # noqa: N818  an answer, not a fault
    """A state guard failed. `message` says why and what to do; `field` names the form field it belongs to, if any."""

    def __init__(self, message: str, field: str = "") -> None:
        self.message = message
        self.field = field
        super().__init__(message)
