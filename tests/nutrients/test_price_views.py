"""The pages of prices."""

import pytest
from django.urls import reverse

from nutrients.models import Food, Price

pytestmark = pytest.mark.django_db
TABLET = "Iron chelate tablet, 18 mg iron"


def page(name: str) -> str:
    return reverse("nutrients:price-edit", args=[Food.objects.get(name=name).pk])


def typed(**changes) -> dict:
    return {"amount": "12.50", "pack": "60", "pack_in": "dose", "as_of": "2026-11-20", **changes}


def test_a_price_is_kept_and_changed_with_its_history(signed_in):
    signed_in.post(page(TABLET), typed())
    signed_in.post(page(TABLET), typed(amount="13,00"))
    price = Price.objects.get(food__name=TABLET)
    assert (price.amount, price.pack, price.history.count()) == (13.0, 60.0, 2)
    assert price.pack_g == pytest.approx(60 * price.food.supplement.grams_per_dose_unit)
    listed = signed_in.get(reverse("nutrients:price-list")).content.decode()
    assert "13.00" in listed
    assert TABLET in listed


@pytest.mark.parametrize(
    ("field", "value"),
    [("amount", "0"), ("amount", "-3"), ("amount", "1e308"), ("amount", "two"), ("pack", ""), ("pack", "0"),
     ("as_of", "never"), ("pack_in", "bushel")],
)  # fmt: skip
def test_what_is_wrong_is_said_beside_the_field(signed_in, field, value):
    answer = signed_in.post(page(TABLET), typed(**{field: value}))
    assert answer.status_code == 200
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert not Price.objects.exists()


def test_a_food_has_no_dose_units(signed_in):
    answer = signed_in.post(page("Pumpkin, raw"), typed(pack_in="dose"))
    assert "pack_in" in answer.context["form"].errors


def test_a_viewer_may_read_only(client, viewer):
    client.force_login(viewer)
    assert client.get(reverse("nutrients:price-list")).status_code == 200
    assert client.post(page(TABLET), typed()).status_code == 403
