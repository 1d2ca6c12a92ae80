"""``export_catalog FOLDER [--revision N]`` writes a published revision in its canonical form."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalog.package import write_files
from catalog.queries import files_of, revision_info
from shared.errors import FaultyInput, Refused

MISUSE = 2


class Command(BaseCommand):
    help = "Write a published revision, the newest unless another is named, into FOLDER."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", metavar="FOLDER")
        parser.add_argument("--revision", type=int, metavar="N", help="the revision's number")

    def handle(self, *args: Any, **options: Any) -> None:
        folder = Path(options["folder"])
        if folder.exists() and not folder.is_dir():
            raise CommandError(f"{folder} is not a folder.", returncode=MISUSE)
        try:
            info = revision_info(options["revision"])
        except (FaultyInput, Refused) as fault:
            raise CommandError(str(fault), returncode=MISUSE) from None
        write_files(files_of(info), folder)
        self.stdout.write(f"Revision {info.number} is in {folder}. SHA-256 {info.sha256}")
