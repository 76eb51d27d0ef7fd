"""Brings the catalogues up to date with what owners read: `manage.py gather_words`."""

from django.core.management.base import BaseCommand

from nutrients.language import ENGLISH, LANGUAGES
from practice.gathering import bring_up_to_date, untranslated


class Command(BaseCommand):
    help = "Gather every sentence for owners into the catalogues; what is translated stays."

    def handle(self, *args, **options):
        for language in sorted(LANGUAGES.keys() - {ENGLISH}):
            bring_up_to_date(language)
            missing = untranslated(language)
            self.stdout.write(f"{LANGUAGES[language]}: {len(missing)} not translated.")
