"""Bring a download of USDA FoodData Central, or of the older Standard Reference, into the food table."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from nutrients import food_import
from nutrients.usda import BadFile

EXAMPLES_SHOWN = 3


class Command(BaseCommand):
    help = (
        "Reads a folder or a zip: SR Legacy, Foundation Foods or all of FoodData Central (CSV), or the text "
        "files of Standard Reference. Foods that the practice has changed and curated foods are left alone. "
        "Branded foods are never read: they would bring trade names into the library. Safe to run again."
    )

    def add_arguments(self, parser):
        parser.add_argument("path", type=Path, help="The folder or the zip, as it was downloaded.")
        parser.add_argument("--dry-run", action="store_true", help="Check and count, and write nothing.")
        parser.add_argument(
            "--only", action="append", default=[], metavar="GROUP", help="Only this group; may be repeated."
        )

    def handle(self, *, path: Path, dry_run: bool, only: list[str], verbosity: int, **options):
        groups = food_import.groups()
        for group in only:
            if group not in groups:
                raise CommandError(f"There is no group {group!r}. The groups are: {'; '.join(groups)}.")
        self.verbosity = verbosity
        try:
            report = food_import.import_foods(
                path, only=only, dry_run=dry_run, reading=self.say_read, writing=self.say_writing
            )
        except BadFile as problem:
            raise CommandError(f"{problem}. Nothing was changed.") from None
        if verbosity:
            self.report(report)

    def say_read(self, rows: int, share: float) -> None:
        if self.verbosity and rows % 100_000 == 0:
            self.stdout.write(f"{rows:,} rows read, {share:.0%} of the files")

    def say_writing(self) -> None:
        if self.verbosity:
            self.stdout.write("Comparing and writing ...")

    def report(self, report: food_import.Report) -> None:
        row = "{:10}{:>10}{:>10}{:>11}{:>10}".format
        self.stdout.write(row("", "added", "changed", "unchanged", "removed"))
        self.stdout.write(row("foods", report.added, report.changed, report.unchanged, ""))
        values = report.values_added, report.values_changed, "", report.values_removed
        self.stdout.write(row("values", *values))
        self.stdout.write(row("measures", report.measures_added, report.measures_changed, "", ""))
        for left in report.reasons:
            self.stdout.write(f"Left out, {left['count']:,}: {left['reason']}")
            for example in left["examples"][:EXAMPLES_SHOWN]:
                self.stdout.write(f"    such as {example}")
        if report.dry_run:
            self.stdout.write("Nothing was written.")
