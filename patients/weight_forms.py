"""Forms of weights: a doubted one is asked about beside its field; what an owner wrote down is read in."""

from dataclasses import dataclass

from django import forms
from django.utils import timezone

from patients.fields import WeightField
from patients.home_weights import read_lines
from patients.life_stage import life_stage
from patients.models import HomeWeighIn, Patient
from patients.queries import weights_of
from patients.weigh_ins import LIGHTEST_KG
from patients.weight_questions import Judged, Typed, WeightQuestion, judge_weight

DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
LONGEST_PASTE = 40_000  # characters; common practice, no source: years of daily weigh-ins


def weights_but(patient: Patient, record=None) -> list[tuple]:
    """(day, kg) of the weigh-ins that count, but for `record`."""
    kept = [w for w in weights_of(patient) if record is None or (w.visit or w.home) != record]
    return [(w.entry.day, w.entry.kg) for w in kept]


def growing_on(patient: Patient, day) -> bool:
    return day >= patient.born and life_stage(patient.born, day, patient.expected_adult_kg).growing


class AsksAboutWeight:
    """Of a form of a record with `date` and `weight_kg`. `question`: the open one, or None."""

    question: WeightQuestion | None = None

    def ask_about_weight(self, record, day) -> None:
        """A weight typed anew that cannot well be right is not saved until somebody says what it is."""
        kg = self.cleaned_data.get("weight_kg")
        if kg is None or kg < LIGHTEST_KG or not {"weight_kg", "date"} & set(self.changed_data):
            return
        judged = self._judged(record, Typed(day, kg, self["weight_kg"].data[1] or "kg"))
        self.cleaned_data["weight_kg"], self.question = judged.kg, judged.question
        if judged.question:
            self.add_error("weight_kg", judged.question.words)
        if "left_out" in self.fields:
            self.cleaned_data["left_out"] |= judged.left_out
        else:
            record.left_out = judged.left_out

    def _judged(self, record, typed: Typed) -> Judged:
        if self.cleaned_data.get("left_out"):
            return Judged(typed.kg)
        patient, name = record.patient, self.add_prefix("weight_answer")
        return judge_weight(
            typed,
            weights_but(patient, record),
            growing=growing_on(patient, typed.day),
            name=name,
            answer=self.data.get(name, ""),
        )


@dataclass(frozen=True)
class AskedLine:
    """A question about a line of the list, with what was answered so far."""

    number: int
    question: WeightQuestion
    chosen: str


class HomeWeighInsForm(forms.Form):
    """Weigh-ins as an owner wrote them down, several at once. What was pasted stays until all is in order."""

    lines = forms.CharField(
        label="Weigh-ins at home",
        required=False,
        max_length=LONGEST_PASTE,
        widget=forms.Textarea(attrs={"rows": 5, "placeholder": "2026-11-03 18,2 kg"}),
        help_text="One a line: the day, the weight with kg or lb, and a note if there is one.",
    )

    def __init__(self, data=None, *, patient: Patient, **options):
        super().__init__(data, **options)
        self.patient = patient
        self.questions: list[AskedLine] = []
        self.weigh_ins: list[HomeWeighIn] = []

    def clean_lines(self) -> str:
        text = self.cleaned_data["lines"]
        lines, faults = read_lines(text, today=timezone.localdate(), born=self.patient.born)
        told = {fault.number: fault.words for fault in faults}
        on_record = dict(self.patient.home_weigh_ins.values_list("date", "weight_kg"))
        before = weights_but(self.patient)
        for line in sorted(lines, key=lambda line: line.typed.day):
            day = line.typed.day
            if day in on_record:
                told[line.number] = f"{on_record[day]:.4g} kg of that day is on record: take this line out"
                continue
            judged = self._judged(line, before)
            if judged.question:
                self.questions.append(judged.question)
                told[line.number] = judged.question.words
            elif not judged.left_out:
                before.append((day, judged.kg))
            self.weigh_ins.append(
                HomeWeighIn(
                    patient=self.patient,
                    date=day,
                    weight_kg=judged.kg,
                    note=line.note,
                    left_out=judged.left_out,
                )
            )
        if told:
            raise forms.ValidationError([f"Line {number}: {told[number]}" for number in sorted(told)])
        return text

    def _judged(self, line, before) -> Judged:
        name = self.add_prefix(f"answer-{line.number}")
        growing = growing_on(self.patient, line.typed.day)
        return judge_weight(line.typed, before, growing=growing, name=name, answer=self.data.get(name, ""))


class HomeWeighInForm(AsksAboutWeight, forms.ModelForm):
    """One weigh-in at home, to be mended or left out."""

    weight_kg = WeightField(label="Weight")

    class Meta:
        model = HomeWeighIn
        fields = ("date", "weight_kg", "note", "left_out")
        widgets = {"date": DATE}
        labels = {"left_out": "Leave this weight out of the curve"}

    def clean(self):
        super().clean()
        weigh_in, day = self.instance, self.cleaned_data.get("date")
        if not day:
            return
        if weigh_in.patient.home_weigh_ins.filter(date=day).exclude(pk=weigh_in.pk).exists():
            self.add_error("date", "There is a weigh-in at home of this day: mend that one.")
        self.ask_about_weight(weigh_in, day)
