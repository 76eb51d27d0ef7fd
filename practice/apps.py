from django.apps import AppConfig
from django.db.models.signals import post_migrate


class PracticeConfig(AppConfig):
    name = "practice"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        post_migrate.connect(bring_roles_up_to_date, sender=self)


def bring_roles_up_to_date(**about) -> None:
    """A new page's permission reaches the people of a practice that is brought up to date.

    Practice is the last app to migrate: the permissions of every app exist by then.
    """
    from practice.roles import make_roles  # models can be imported only once the apps are ready

    make_roles()
