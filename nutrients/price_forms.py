"""The form of a price."""

from django import forms

from nutrients.fields import NumberField
from nutrients.models import Food, Price
from nutrients.models.prices import DEAREST, LARGEST_PACK


class PriceForm(forms.ModelForm):
    amount = NumberField(label="Price of a pack", min_value=0.01, max_value=DEAREST)
    pack = NumberField(label="In a pack", min_value=0.1, max_value=LARGEST_PACK)

    class Meta:
        model = Price
        fields = ("amount", "pack", "pack_in", "bought_at", "as_of")
        widgets = {"as_of": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}

    def __init__(self, data=None, *, food: Food, **options):
        instance = getattr(food, "price", None) or Price(food=food)
        super().__init__(data, instance=instance, **options)
        supplement = getattr(food, "supplement", None)
        if supplement is None or supplement.dose_unit == "g":
            self.fields["pack_in"].choices = [("g", "grams")]
        else:
            self.fields["pack_in"].choices = [("dose", f"{supplement.dose_unit}s"), ("g", "grams")]
        for name, field in self.fields.items():
            described = [f"id_{name}_helptext"] if field.help_text else []
            described += [f"id_{name}_error"] if name in self.errors else []
            if described:
                field.widget.attrs["aria-describedby"] = " ".join(described)
