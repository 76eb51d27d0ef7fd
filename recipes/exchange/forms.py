"""What bringing recipes in asks."""

from django import forms
from django.template.defaultfilters import filesizeformat

from recipes.exchange import layout
from recipes.exchange.bringing_in import Clash
from recipes.exchange.csv_reading import read_csv
from recipes.exchange.reading import BadRecipes, RecipeFile, read_json

READERS = {".json": read_json, ".csv": read_csv}


class BringInForm(forms.Form):
    upload = forms.FileField(
        label="The file with recipes",
        help_text="JSON or CSV, as this program writes them.",
        widget=forms.FileInput(attrs={"accept": ",".join(READERS)}),
        error_messages={"required": "Choose the file.", "empty": "This file is empty."},
    )
    clash = forms.ChoiceField(
        label="When a title stands in the library already with other content",
        choices=Clash.choices,
        initial=Clash.LEAVE_OUT,
    )
    dry_run = forms.BooleanField(label="Only look: check and count, and write nothing", required=False)

    def clean_upload(self):
        upload = self.cleaned_data["upload"]
        if upload.size > layout.MOST_BYTES:
            most, size = filesizeformat(layout.MOST_BYTES), filesizeformat(upload.size)
            raise forms.ValidationError(f"This file has {size}; at most {most} can be brought in.")
        if not upload.name.lower().endswith(tuple(READERS)):
            raise forms.ValidationError("Choose a file whose name ends with .json or .csv.")
        return upload

    def file(self) -> RecipeFile:
        """What the uploaded file holds. Raises BadRecipes."""
        upload = self.cleaned_data["upload"]
        ending = next(ending for ending in READERS if upload.name.lower().endswith(ending))
        try:
            text = upload.read().decode("utf-8-sig")
        except UnicodeDecodeError:
            raise BadRecipes.of("This file is not in UTF-8: save it so and choose it again.") from None
        return READERS[ending](text)
