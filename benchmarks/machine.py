"""What the figures were taken on."""

import os
import platform
from importlib.metadata import version
from pathlib import Path


def machine() -> list[str]:
    """Lines that name the machine and the versions, without the database's."""
    return [
        f"machine: {os.cpu_count()} cores, {_processor()}, {platform.system()} {platform.release()}",
        f"load when started: {', '.join(f'{one:.2f}' for one in os.getloadavg())}",
        f"Python {platform.python_version()}, NumPy {version('numpy')}, OR-tools {version('ortools')}",
    ]


def _processor() -> str:
    found = Path("/proc/cpuinfo")
    lines = found.read_text().splitlines() if found.exists() else []
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.processor() or "unknown processor"
