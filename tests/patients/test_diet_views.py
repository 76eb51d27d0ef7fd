"""The rows of a diet history on a visit's page."""

import pytest
from django.urls import reverse

from patients.models import DietItem
from tests import cast
from tests.patients.typed import typed_rows

pytestmark = pytest.mark.django_db
LABEL = {"what": "Dry food", "amount": "1", "measure": "cup", "times_a_day": "2", "label_kcal": "350",
         "label_per": "cup"}  # fmt: skip


@pytest.fixture
def visit(practitioner):
    return cast.make_visit(cast.make_patient())


def send(client, visit, *rows: dict, **more: str):
    page = reverse("patients:visit-edit", args=[visit.pk])
    answer = client.get(page)
    form = answer.context["form"]
    typed = {name: form[name].value() for name in form.fields}
    typed = {name: str(value) for name, value in typed.items() if value not in (None, False)}
    typed |= {"date": visit.date.isoformat(), "weight_kg": "18.4", "weight_kg_unit": "kg"}
    return client.post(page, typed | typed_rows("diet", *rows) | more)


def told(client, visit, *rows: dict) -> list[DietItem]:
    answer = send(client, visit, *rows)
    assert answer.status_code == 302, answer.context["forms"].errors
    return list(visit.diet_items.order_by("pk"))


def test_energy_is_worked_out_from_the_label(signed_in, visit):
    [item] = told(signed_in, visit, LABEL)
    assert (item.kcal_per_day, item.worked) == (700, "1 cup x 2 a day at 350 kcal per cup")


def test_energy_is_worked_out_from_a_food_of_the_table(signed_in, visit):
    row = {"what": "Carrots", "amount": "100", "measure": "g", "food_name": "carrots, raw", "kind": "treat"}
    [item] = told(signed_in, visit, row)
    # USDA, Release 28: 4 x 0.93 + 9 x 0.24 + 4 x (9.58 - 2.8) = 33.0 kcal in 100 g
    assert item.kcal_per_day == pytest.approx(33.0, abs=0.1)
    assert item.is_extra


def test_energy_is_worked_out_from_an_analysis_and_called_an_estimate(signed_in, visit):
    row = {"what": "Dry food", "amount": "100", "measure": "g", "protein": "26", "fat": "16", "fiber": "4",
           "moisture": "10", "ash": "7"}  # fmt: skip
    [item] = told(signed_in, visit, row)
    assert item.kcal_per_day == 356.5
    assert item.worked.endswith("an estimate")


def test_a_row_may_say_that_its_energy_is_not_known(signed_in, visit):
    [item] = told(signed_in, visit, {"what": "Crusts", "kind": "table"})
    assert item.kcal_per_day is None


def test_a_row_that_was_there_can_be_cleared(signed_in, visit):
    DietItem.objects.create(visit=visit, what="Dry food", kcal_per_day=600)
    assert told(signed_in, visit, {"what": "", "kcal_per_day": ""}) == []


def test_a_saved_row_comes_back_as_it_was_typed_and_is_worked_out_again(signed_in, visit):
    told(signed_in, visit, LABEL)
    form = signed_in.get(reverse("patients:visit-edit", args=[visit.pk])).context["diet"].forms[0]
    assert form["label_kcal"].value() == 350
    assert form["kcal_per_day"].value() is None
    [item] = told(signed_in, visit, LABEL | {"label_kcal": "400"})
    assert item.kcal_per_day == 800


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"kcal_per_day": "700"}, "label_kcal", "more than one way"),
        ({"measure": "g"}, "label_kcal", "enter the amount in cups"),
        ({"amount": ""}, "amount", "how much at a time"),
        ({"measure": ""}, "measure", "how it is measured"),
        ({"amount": "-1"}, "amount", "0 or more"),
        ({"amount": "0"}, "label_kcal", "must be above 0"),
        ({"amount": "1e308"}, "amount", "in figures"),
        ({"amount": "90"}, "amount", "check the amount and its unit"),
        ({"label_per": ""}, "label_kcal", "Choose what the label"),
        ({"what": ""}, "what", "Say what it is"),
        (
            {"label_kcal": "", "label_per": "", "food_name": "unobtainium"},
            "food_name",
            "No food of the table",
        ),
        (
            {"label_kcal": "", "label_per": "", "food_name": "chicken"},
            "food_name",
            "Several foods are called so",
        ),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_typed_is_lost(
    signed_in, visit, changes, field, says
):
    answer = send(signed_in, visit, LABEL | changes)
    assert answer.status_code == 200
    row = answer.context["diet"].forms[0]
    assert says in " ".join(row.errors[field])
    assert f'id="id_diet-0-{field}_error"' in answer.content.decode()
    for name, value in (LABEL | changes).items():
        assert row[name].value() == value
    assert not visit.diet_items.exists()


def test_another_row_is_added_without_saving(signed_in, visit):
    answer = send(signed_in, visit, LABEL, add="diet")
    assert answer.status_code == 200
    assert len(answer.context["diet"].forms) == 3
    assert not visit.diet_items.exists()


def test_the_dogs_page_tells_the_day(signed_in, visit):
    told(signed_in, visit, LABEL, {"what": "Crusts", "kind": "table"})
    page = signed_in.get(visit.patient.get_absolute_url()).content.decode()
    assert "At least 700 kcal a day: not known of Crusts." in page
    assert "1 cup x 2 a day at 350 kcal per cup" in page
