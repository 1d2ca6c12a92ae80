"""What is questionable in a catalog that is right in form. Pure.

``lint(catalog)`` gives findings. An *error* stops publishing: the catalog says two things at once, or
something that the resolver cannot decide. A *warning* is for the keeper to look at.
"""

from collections.abc import Iterable

from catalog.lint.finding import Finding, Severity
from catalog.lint.mating import mating_findings
from catalog.lint.rulings import ruling_findings
from catalog.lint.runs import run_findings
from catalog.lint.seams import seam_findings
from catalog.lint.stacks import stack_findings
from catalog.lint.successors import successor_findings
from catalog.resolver.parts import Catalog

__all__ = ["Finding", "Severity", "errors_among", "lint"]

_CHECKS = (ruling_findings, successor_findings, run_findings, mating_findings, stack_findings, seam_findings)


def lint(catalog: Catalog) -> tuple[Finding, ...]:
    """Every finding: errors first, then by code and subject."""
    found = [finding for check in _CHECKS for finding in check(catalog)]
    return tuple(sorted(found, key=lambda one: (one.severity != Severity.ERROR, one.code, one.subject)))


def errors_among(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(finding for finding in findings if finding.severity is Severity.ERROR)
