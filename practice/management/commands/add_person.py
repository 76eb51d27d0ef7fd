"""Let a person sign in, in one of the practice's roles."""

import getpass

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from practice.roles import ROLES, make_roles


class Command(BaseCommand):
    help = "Makes a person who may sign in; asks for the password. Roles: practitioner, staff, viewer."

    def add_arguments(self, parser):
        parser.add_argument("username")
        parser.add_argument("role", choices=ROLES)
        parser.add_argument("--name", default="", help="First and last name, as it stands on sheets.")

    def handle(self, *args, username, role, name, **options):
        if User.objects.filter(username=username).exists():
            raise CommandError(f"{username} can sign in already: choose another name.")
        first, _, last = name.partition(" ")
        person = User(username=username, first_name=first, last_name=last)
        password = getpass.getpass(f"Password for {username}: ")
        try:
            validate_password(password, person)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        person.set_password(password)
        person.save()
        person.groups.add(make_roles()[role])
        self.stdout.write(f"{username} may sign in as {role}.")
