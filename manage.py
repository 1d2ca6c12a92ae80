#!/usr/bin/env python
"""Django's command line. `./run manage …` calls it with the database running and its addresses set."""

import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "api.settings")
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as reason:
        # A setting that is missing or wrong is the caller's to put right: a sentence, not a trace.
        sys.exit(str(reason))


if __name__ == "__main__":
    main()
