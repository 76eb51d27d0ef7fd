"""Forms of weights: a doubted one is asked about beside its field; what an owner wrote down is read in."""

from dataclasses import dataclass
from functools import partial

from django import forms
from django.utils import timezone

from patients.fields import WeightField
from patients.home_weights import HomeLine, read_lines
from patients.life_stage import life_stage
from patients.models import HomeWeighIn, Patient
from patients.queries import weights_of
from patients.usual_weights import usual_weight
from patients.weigh_ins import LIGHTEST_KG
from patients.weight_questions import Judged, KnownWeights, Typed, WeightQuestion, judge_weight

DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
SHOWN_TO_KG = 0.001  # as exactly as a form shows a weight
LONGEST_PASTE = 40_000  # characters; common practice, no source: years of daily weigh-ins


def weights_but(patient: Patient, record=None) -> list[tuple]:
    """(day, kg) of the weigh-ins that count, but for `record`; none of a dog that is not on record yet."""
    if not patient.pk:
        return []
    kept = [w for w in weights_of(patient) if record is None or (w.visit or w.home) != record]
    return [(w.entry.day, w.entry.kg) for w in kept]


def growing_on(patient: Patient, day) -> bool:
    return day >= patient.born and life_stage(patient.born, day, patient.expected_adult_kg).growing


def known_weights(patient: Patient, counted: list[tuple]) -> KnownWeights:
    return KnownWeights(
        counted,
        growing_on=partial(growing_on, patient),
        born=patient.born,
        usual=usual_weight(patient.breed, patient.expected_adult_kg),
    )


class AsksAboutWeight:
    """Of a form of a record with `date` and `weight_kg`. question: what is asked about the weight."""

    question: WeightQuestion | None = None

    def ask_about_weight(self, record, day, patient: Patient | None = None) -> None:
        """A weight typed anew that cannot well be right is not saved until somebody says what it is.

        patient: the dog while it is taken on; else the record's own.
        """
        kg = self.cleaned_data.get("weight_kg")
        if kg is None or kg < LIGHTEST_KG or self._as_before(kg, day):
            return
        typed = Typed(day, kg, self["weight_kg"].data[1] or "kg")
        judged = self._judged(record, patient or record.patient, typed)
        self.cleaned_data["weight_kg"], self.question = judged.kg, judged.question
        record.weight_kg = judged.kg
        if judged.is_open:
            self.add_error("weight_kg", judged.question.words)
        if "left_out" in self.fields:
            self.cleaned_data["left_out"] |= judged.left_out
        else:
            record.left_out = judged.left_out

    def _as_before(self, kg: float, day) -> bool:
        """The weight and its day are those on record: they were asked about when they were typed."""
        before = self.initial.get("weight_kg") if self.instance.pk else None
        return before is not None and abs(before - kg) < SHOWN_TO_KG and day == self.initial.get("date")

    def _judged(self, record, patient: Patient, typed: Typed) -> Judged:
        if self.cleaned_data.get("left_out"):
            return Judged(typed.kg)
        known, name = known_weights(patient, weights_but(patient, record)), self.add_prefix("weight_answer")
        return judge_weight(typed, known, name=name, answer=self.data.get(name, ""))


@dataclass(frozen=True)
class AskedLine:
    """A question about a line of the list."""

    number: int
    question: WeightQuestion


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
            kg = on_record.get(line.typed.day)
            if kg is None:
                told |= self._take(line, before)
            else:
                told[line.number] = f"{kg:.4g} kg of that day is on record: take this line out"
        if told:
            raise forms.ValidationError([f"Line {number}: {told[number]}" for number in sorted(told)])
        return text

    def _take(self, line: HomeLine, before: list[tuple]) -> dict[int, str]:
        """Keep a line, and add it to those before when it counts; its number and why, when it is doubted."""
        day, name = line.typed.day, self.add_prefix(f"answer-{line.typed.day}")
        judged = judge_weight(
            line.typed,
            known_weights(self.patient, before),
            name=name,
            answer=self.data.get(name, ""),
        )
        if judged.question:
            self.questions.append(AskedLine(line.number, judged.question))
        if judged.is_open:
            return {line.number: judged.question.words}
        if not judged.left_out:
            before.append((day, judged.kg))
        taken = HomeWeighIn(patient=self.patient, date=day, weight_kg=judged.kg, note=line.note)
        taken.left_out = judged.left_out
        self.weigh_ins.append(taken)
        return {}


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
