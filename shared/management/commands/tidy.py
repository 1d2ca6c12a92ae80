"""Deletes what no longer has a use: ended sessions and rested allowances."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand

from shared.throttle import forget_rested


class Command(BaseCommand):
    help = "Deletes ended sessions and the counts of callers who have rested. To be run once a day."

    def handle(self, *args: Any, **options: Any) -> None:
        call_command("clearsessions")
        self.stdout.write(f"{forget_rested()} rested allowances deleted.")
