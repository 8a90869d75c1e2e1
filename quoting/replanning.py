"""The door to `quoting.promise.replan`: plan the line anew. It loads OR-Tools when a solve begins, not before."""

from __future__ import annotations

from quoting.promise.replan.binding import Binding
from quoting.promise.replan.replanned import Rebooked, Replanned
from quoting.promise.replan.run import LISTS, SOLVER, STANDING, Limits, replan
from quoting.promise.replan.solve import Effort

__all__ = ["LISTS", "SOLVER", "STANDING", "Binding", "Effort", "Limits", "Rebooked", "Replanned", "replan"]
