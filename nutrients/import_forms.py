"""What an import of a USDA download asks."""

import zipfile

from django import forms
from django.template.defaultfilters import filesizeformat

from nutrients import food_import

# The zip of the whole of FoodData Central is a little under 500 MB (from memory).
MOST_BYTES = 700 * 10**6


class ImportForm(forms.Form):
    upload = forms.FileField(
        label="The zip file, as it was downloaded",
        help_text="SR Legacy, Foundation Foods or all of FoodData Central, as CSV; or the text files of "
        "Standard Reference in a zip.",
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
        error_messages={"required": "Choose the zip file.", "empty": "This file is empty."},
    )
    dry_run = forms.BooleanField(
        label="Dry run: check and count, and write nothing", required=False, initial=True
    )
    groups = forms.MultipleChoiceField(
        label="Only these food groups",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Every group when none is ticked.",
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["groups"].choices = [(group, group) for group in food_import.groups()]

    def clean_upload(self):
        upload = self.cleaned_data["upload"]
        if upload.size > MOST_BYTES:
            most = filesizeformat(MOST_BYTES)
            raise forms.ValidationError(
                f"This file has {filesizeformat(upload.size)}; at most {most} can be uploaded. "
                "The command import_foods takes a larger one."
            )
        if not zipfile.is_zipfile(upload):
            raise forms.ValidationError("This is not a whole zip file. Choose the file as it was downloaded.")
        upload.seek(0)
        return upload
