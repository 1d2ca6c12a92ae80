"""The pure modules import nothing of Django, in an interpreter that has not imported it for somebody else."""

import subprocess
import sys

import pytest

PURE = ("words", "errors", "units", "intervals", "money", "rates", "doors", "tracing", "strict_json")


@pytest.mark.parametrize("module", PURE)
def test_a_pure_module_imports_no_django(module: str) -> None:
    program = f"import sys, shared.{module}; print([name for name in sys.modules if 'django' in name])"
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert (ran.stdout.strip(), ran.stderr) == ("[]", "")
