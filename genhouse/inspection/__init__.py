"""The inspector: it trusts nothing but the cells and the room table, and never asks a stage."""

from genhouse.inspection.access import walked
from genhouse.inspection.bill import Row
from genhouse.inspection.report import CHECKS, Report, inspect
from genhouse.inspection.verdict import Finding, Verdict

__all__ = ["CHECKS", "Finding", "Report", "Row", "Verdict", "inspect", "walked"]
