"""Work out anew the figures that are kept with every version of a recipe."""

from django.core.management.base import BaseCommand

from recipes import renewal


class Command(BaseCommand):
    help = (
        "Works out anew the figures that the library searches by. Safe to run again, and while others work."
    )

    def add_arguments(self, parser):
        parser.add_argument("--stale", action="store_true", help="Only what something has changed for.")

    def handle(self, *, stale: bool, verbosity: int, **options):
        said = self.say if verbosity else None
        renewed = renewal.renew_stale(said) if stale else renewal.renew_all(said)
        if verbosity:
            self.stdout.write(f"{renewed:,} version{'' if renewed == 1 else 's'} renewed.")

    def say(self, done: int, left: int) -> None:
        self.stdout.write(f"{done:,} renewed, {left:,} to go")
