"""Which of two records' values stay: one question for each thing in which they differ."""

from django import forms

from patients.merge_preview import BOTH, KEPT, OTHER, Preview, in_words
from patients.merging import LONGEST_REASON


class MergeForm(forms.Form):
    """reason and the questions, named by the keys of the preview."""

    reason = forms.CharField(
        label="Reason",
        max_length=LONGEST_REASON,
        help_text="Such as: taken on twice; came back under a new name.",
    )

    def __init__(self, *args, preview: Preview, **options):
        super().__init__(*args, **options)
        for each in preview.differences:
            joined = [(BOTH, "both, one after the other")] if each.can_join else []
            choices = [(KEPT, each.kept), (OTHER, each.other), *joined]
            self._ask(each.key, each.label, choices, each.at_first)
        for clash in preview.clashes:
            choices = [(KEPT, in_words(clash.kept)), (OTHER, in_words(clash.other))]
            self._ask(clash.key, f"{clash.label}: which counts", choices, KEPT)
        if preview.fed:
            choices = list(zip((KEPT, OTHER), map(in_words, preview.fed), strict=True))
            self._ask("fed", "Plan that is fed from now on; the other one ends", choices, KEPT)
        self.values = [self[each.key] for each in preview.differences if not each.one_sided]
        self.one_sided = [self[each.key] for each in preview.differences if each.one_sided]
        self.once = [self[clash.key] for clash in preview.clashes] + ([self["fed"]] if preview.fed else [])

    def _ask(self, key: str, label: str, choices: list[tuple[str, str]], at_first: str) -> None:
        self.fields[key] = forms.ChoiceField(
            label=label, choices=choices, initial=at_first, widget=forms.RadioSelect
        )

    def outcome(self) -> list[tuple[str, str]]:
        """Of a valid form: each question with the answer in words."""
        asked = [*self.values, *self.one_sided, *self.once]
        return [(field.label, self._told(field)) for field in asked]

    def _told(self, field) -> str:
        words, answer = dict(field.field.choices), self.cleaned_data[field.name]
        return f"{words[KEPT]}\n{words[OTHER]}" if answer == BOTH else words[answer]

    def answers(self) -> dict[str, str]:
        return {name: value for name, value in self.cleaned_data.items() if name != "reason"}
