"""Invented foods in the database, with their amounts per 100 g."""

from nutrients.models import Food, FoodValue, Nutrient


def make_food(name, group="moon meat", state="raw", **values) -> Food:
    food = Food.objects.create(name=name, group=group, state=state, source="invented")
    for key, per_100g in values.items():
        nutrient = Nutrient.objects.get(key=key)
        FoodValue.objects.create(
            food=food, nutrient=nutrient, per_100g=per_100g, kind="published", source="-"
        )
    return food
