"""All between an empty database and one that answers: migrate, load the demo catalog, ask a question."""

import json
from io import StringIO
from typing import Any

from django.conf import settings
from django.core.management import call_command, get_commands
from django.core.management.base import BaseCommand

from shared.places import PROJECT

DEMO_QUESTION = PROJECT / "fixtures" / "questions" / "example.json"


class Command(BaseCommand):
    help = (
        "Migrate, load and publish the demo catalog, and ask it one question. Done twice it changes nothing."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        self._migrate()
        if self._has("seed_demo"):
            call_command("seed_demo", stdout=self.stdout)
        if self._has("lookup"):
            self._ask()

    def _migrate(self) -> None:
        if "owner" not in settings.DATABASES:
            self.stdout.write("PAWLBOOK_OWNER_URL is not set: the database is used as it is.")
            return
        call_command("migrate", database="owner", interactive=False, verbosity=0, stdout=self.stdout)

    def _has(self, command: str) -> bool:
        if command in get_commands():
            return True
        self.stdout.write(f"There is no command {command} yet: left out.")
        return False

    def _ask(self) -> None:
        told = StringIO()
        call_command("lookup", str(DEMO_QUESTION), stdout=told)
        verdict = json.loads(told.getvalue())["verdict"]
        model = json.loads(DEMO_QUESTION.read_text())["winch"]["model"]
        where = DEMO_QUESTION.relative_to(PROJECT)
        self.stdout.write(f"Can the winch {model} of {where} be driven by power? {verdict.capitalize()}.")
