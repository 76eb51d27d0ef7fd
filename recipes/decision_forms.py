"""What a decision on a recipe asks: why; and what a copy of it is called."""

from django import forms

from recipes.models import Recipe
from recipes.states import MOVES


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label="Why",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why: it stays with the recipe."},
        help_text="It stays with the recipe's history, with your name and the day.",
    )

    def __init__(self, data=None, *, move: str):
        super().__init__(data)
        self.fields["reason"].required = MOVES[move].needs_reason


class CopyForm(forms.ModelForm):
    class Meta:
        model = Recipe
        fields = ("title",)
        help_texts = {"title": "Its own: no two recipes have the same."}
        error_messages = {
            "title": {
                "required": "Give the copy a title.",
                "unique": "Another recipe has this title: choose a title of its own.",
            }
        }
