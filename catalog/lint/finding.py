"""A finding, and the codes that there are."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Finding:
    """``subject`` is the code or SKU that it is about; ``code`` is kebab-case and never changes."""

    severity: Severity
    code: str
    subject: str
    sentence: str

    def as_json(self) -> dict[str, str]:
        return {
            "severity": self.severity.value,
            "code": self.code,
            "subject": self.subject,
            "sentence": self.sentence,
        }

    def __str__(self) -> str:
        return f"{self.severity}: {self.sentence} [{self.code}]"


def error(code: str, subject: str, sentence: str) -> Finding:
    return Finding(Severity.ERROR, code, subject, sentence)


def warning(code: str, subject: str, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, subject, sentence)
