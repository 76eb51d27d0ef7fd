"""What bringing a file in asks: the file, and what its columns hold."""

from django import forms
from django.core.exceptions import ValidationError

from patients.bring_in.cells import Order, has_open_order, order_of
from patients.bring_in.columns import (
    ALL,
    COLUMNS,
    DOG,
    LEFT_OUT,
    OWNER,
    WEIGH_IN,
    WEIGHTS,
    problems,
    propose,
    unit_in,
)
from patients.bring_in.lines import asks_unit, day_cells
from patients.bring_in.table import MOST_BYTES, BadTable, Table, read_table
from patients.fields import UNITS

NOT_USED = (LEFT_OUT, "leave it out")
CHOICES = [
    NOT_USED,
    *(
        (group, [(each.key, each.label) for each in COLUMNS if each.group == group])
        for group in (OWNER, DOG, WEIGH_IN, ALL)
    ),
]


class FileForm(forms.Form):
    upload = forms.FileField(
        label="The CSV file",
        help_text=f"Up to {MOST_BYTES // 10**6} MB, with the names of the columns in its first line.",
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv"}),
        error_messages={"required": "Choose the file.", "empty": "This file is empty."},
    )

    def clean_upload(self) -> bytes:
        upload = self.cleaned_data["upload"]
        if upload.size > MOST_BYTES:
            raise ValidationError(
                f"At most {MOST_BYTES // 10**6} MB can be brought in at once: split the file."
            )
        content = upload.read()
        try:
            read_table(content)
        except BadTable as wrong:
            raise ValidationError(str(wrong)) from None
        return content


class ColumnsForm(forms.Form):
    """A choice for each column of the table, and how its dates and weights are written."""

    unit_weight = forms.ChoiceField(
        label="Weights without a unit are in", choices=[("", "there are none"), *UNITS], required=False
    )
    unit_expected_adult_kg = forms.ChoiceField(
        label="Adult weights without a unit are in", choices=[("", "there are none"), *UNITS], required=False
    )
    order = forms.ChoiceField(
        label="A date such as 3/11/2026 is",
        choices=[
            ("", "there are none"),
            (Order.DAY_FIRST, "3 November 2026"),
            (Order.MONTH_FIRST, "11 March 2026"),
        ],
        required=False,
        help_text="Dates such as 2026-11-03, 3 Nov 2026 or 3.11.2026 read one way only.",
    )

    def __init__(self, *args, table: Table, before: dict[str, str], **options):
        super().__init__(*args, **options)
        self.table = table
        proposed = propose(table.head, before)
        for place, name in enumerate(table.head):
            self.fields[f"column_{place}"] = forms.ChoiceField(
                label=name, choices=CHOICES, required=False, initial=proposed[name]
            )
        for name, key in proposed.items():
            if key in WEIGHTS:
                self.fields[f"unit_{key}"].initial = unit_in(name)
        self.fields["order"].initial = order_of(day_cells(table, proposed)) or ""

    def columns(self) -> list[tuple[forms.BoundField, list[str]]]:
        """Each with what its first cells hold."""
        return [
            (self[f"column_{place}"], self.table.examples(place)) for place in range(len(self.table.head))
        ]

    def readings(self) -> list[forms.BoundField]:
        return [self["unit_weight"], self["unit_expected_adult_kg"], self["order"]]

    def clean(self):
        super().clean()
        chosen = self.chosen()
        for wrong in problems(chosen):
            self.add_error(None, wrong)
        for key in WEIGHTS:
            if not self.cleaned_data.get(f"unit_{key}") and asks_unit(self.table, chosen, key):
                self.add_error(f"unit_{key}", "Some of them have no unit: say which it is.")
        days = day_cells(self.table, chosen)
        if not self.cleaned_data.get("order") and has_open_order(days):
            self.add_error("order", "Some dates read two ways: say which it is.")

    def chosen(self) -> dict[str, str]:
        """Column name -> key."""
        return {
            name: self.cleaned_data.get(f"column_{place}", LEFT_OUT)
            for place, name in enumerate(self.table.head)
        }

    def units(self) -> dict[str, str]:
        return {key: self.cleaned_data[f"unit_{key}"] for key in WEIGHTS}
