"""So many in so much time. Pure: no Django import, since the settings read rates."""

import re
from dataclasses import dataclass

_SECONDS = {"second": 1, "minute": 60, "hour": 3_600, "day": 86_400}


@dataclass(frozen=True, slots=True)
class Rate:
    """``count`` in ``seconds``."""

    count: int
    seconds: int

    @classmethod
    def parse(cls, text: str) -> "Rate":
        """Read ``120/minute``; ``ValueError`` for anything else."""
        found = re.fullmatch(r"([1-9][0-9]{0,8})/(second|minute|hour|day)", text)
        if not found:
            raise ValueError(f"A rate is written 120/minute (second, minute, hour or day), not {text!r}.")
        return cls(count=int(found[1]), seconds=_SECONDS[found[2]])
