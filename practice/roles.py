"""The three roles as groups of Django permissions.

A practitioner may approve, issue and administer; staff may edit drafts, record visits and print;
a viewer reads.
"""

from django.contrib.auth.models import Group, Permission

ROLES = ("viewer", "staff", "practitioner")
READ_APPS = ("nutrients", "recipes", "patients", "practice")
STAFF_MODELS = (
    "recipe", "recipeversion", "substitution", "owner", "patient", "visit", "plan", "food", "foodvalue",
    "price", "supplement", "recall", "recallcall", "homeweighin", "tabletcount",
    "contact", "task", "calendaraddress", "medicine", "givensupplement", "labresult", "photo", "intakedraft",
    "erasurerequest",
)  # fmt: skip
PRACTITIONER_PERMISSIONS = (
    "approve_recipeversion", "approve_substitution", "add_acceptedlimit", "issue_sheet", "administer",
    "change_practiceprofile", "correct_foodvalue", "change_limit", "add_profile", "change_profile",
    "change_retention", "add_batchyield", "change_batchyield", "add_signoff", "change_signoff",
    "merge_patient", "add_broughtfile", "add_sheetwithdrawal", "add_ownerexport", "confirm_erasurerequest",
)  # fmt: skip


def make_roles() -> dict[str, Group]:
    """The groups `viewer`, `staff` and `practitioner`, made or brought up to date."""
    ours = Permission.objects.filter(content_type__app_label__in=READ_APPS)
    view = ours.filter(codename__startswith="view_")
    edit = ours.filter(content_type__model__in=STAFF_MODELS, codename__regex=r"^(add|change)_")
    lead = ours.filter(codename__in=PRACTITIONER_PERMISSIONS)
    permissions = dict(zip(ROLES, (view, view | edit, view | edit | lead), strict=True))
    groups = {}
    for name, wanted in permissions.items():
        groups[name], _ = Group.objects.get_or_create(name=name)
        groups[name].permissions.set(wanted)
    return groups
