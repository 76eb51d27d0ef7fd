"""Bring an exported nutrient database in."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import IntegrityError

from nutrients.database.archive import BadArchive
from nutrients.database.importing import bring_in
from nutrients.reference import BadLine


class Command(BaseCommand):
    help = "Bring a nutrient database in that was exported as a zip file of tables. Safe to run again."

    def add_arguments(self, parser):
        parser.add_argument("path", type=Path, help="The zip file.")
        parser.add_argument("--dry-run", action="store_true", help="Check and count, and write nothing.")

    def handle(self, *, path: Path, dry_run: bool, verbosity: int, **options):
        try:
            counts = bring_in(path, dry_run=dry_run)
        except (BadArchive, BadLine, IntegrityError) as problem:
            raise CommandError(f"{str(problem).rstrip('.')}. Nothing was changed.") from None
        if verbosity:
            self.report(counts, dry_run)

    def report(self, counts, dry_run: bool) -> None:
        row = "{:24}{:>9}{:>9}{:>11}{:>12}{:>11}".format
        self.stdout.write(row("", "added", "changed", "unchanged", "taken away", "only here"))
        for count in counts:
            self.stdout.write(row(*count))
        if dry_run:
            self.stdout.write("Nothing was written.")
