"""Load the invented demo practice into an empty database."""

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils import timezone

from patients.models import Patient
from practice import demo
from practice.demo_people import SIGN_IN_FILE, sign_in_text
from recipes.models import Recipe


class Command(BaseCommand):
    help = "Loads the invented demo practice; does nothing when the database holds dogs or recipes."

    def handle(self, *args, **options):
        if Patient.objects.exists() or Recipe.objects.exists():
            self.stdout.write("The demo was not loaded: this database already holds records.")
            return
        counts = demo.load_demo(today=timezone.localdate())
        (settings.DATA_DIR / SIGN_IN_FILE).write_text(sign_in_text() + "\n", encoding="utf-8")
        self.stdout.write("Demo practice: " + ", ".join(f"{count} {what}" for what, count in counts.items()))
        self.stdout.write(sign_in_text())
