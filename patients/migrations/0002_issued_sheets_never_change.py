"""The database itself refuses to change an issued sheet, whatever asks for it."""

from django.db import migrations

SENTENCE = "An issued sheet never changes: issue a new one."
MAKE = {
    "sqlite": (
        f"""
        CREATE TRIGGER issued_sheets_never_change BEFORE UPDATE ON patients_sheet
        BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END
        """,
    ),
    "postgresql": (
        f"""
        CREATE FUNCTION refuse_to_change_a_sheet() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN RAISE EXCEPTION '{SENTENCE}' USING ERRCODE = 'integrity_constraint_violation'; END $$
        """,
        """
        CREATE TRIGGER issued_sheets_never_change BEFORE UPDATE ON patients_sheet
        FOR EACH ROW EXECUTE FUNCTION refuse_to_change_a_sheet()
        """,
    ),
}
DROP = {
    "sqlite": ("DROP TRIGGER issued_sheets_never_change",),
    "postgresql": (
        "DROP TRIGGER issued_sheets_never_change ON patients_sheet",
        "DROP FUNCTION refuse_to_change_a_sheet()",
    ),
}


def make(apps, schema_editor):
    for statement in MAKE[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


def drop(apps, schema_editor):
    for statement in DROP[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("patients", "0001_initial")]
    operations = [migrations.RunPython(make, drop)]
