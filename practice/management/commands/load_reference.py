"""Load the reference data of `fixtures/`: foods, standards, factors, cautions and supplements."""

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

import nutrients.reference
import patients.reference

FIXTURES = settings.BASE_DIR / "fixtures"


class Command(BaseCommand):
    help = "Load the reference data; rows that a person has changed are left alone. Safe to run again."

    def add_arguments(self, parser):
        parser.add_argument("--dry-run", action="store_true", help="Check and count, and write nothing.")

    def handle(self, *, dry_run: bool, verbosity: int, **options):
        try:
            with transaction.atomic():
                counts = [*nutrients.reference.load(FIXTURES), *patients.reference.load(FIXTURES)]
                transaction.set_rollback(dry_run)
        except nutrients.reference.BadLine as problem:
            raise CommandError(f"{problem}. Nothing was changed.") from None
        if verbosity:
            self.report(counts, dry_run)

    def report(self, counts, dry_run: bool) -> None:
        row = "{:44}{:>8}{:>9}{:>11}{:>14}".format
        self.stdout.write(row("", "added", "changed", "unchanged", "kept by hand"))
        for file, rows, *numbers in counts:
            self.stdout.write(row(f"{file}: {rows}", *numbers))
        if dry_run:
            self.stdout.write("Nothing was written.")
