"""What the pages about cooking show: retention factors, batch yields and published yields."""

from django.db.models import QuerySet

from nutrients.models import BatchYield, CookingYield, Nutrient, Retention


def retention_factors(
    *, method: str = "", group: str = "", nutrient: Nutrient | None = None
) -> QuerySet[Retention]:
    """The factors of one method, food group or nutrient, or of several of these together."""
    factors = Retention.objects.select_related("nutrient").with_changed()
    wanted = {"method": method, "food_group": group, "nutrient": nutrient}
    factors = factors.filter(**{name: value for name, value in wanted.items() if value})
    return factors.order_by("food_group", "nutrient__order")


def batch_yields() -> QuerySet[BatchYield]:
    return BatchYield.objects.with_changed()


def yields_matching(*, words: str = "", group: str = "") -> QuerySet[CookingYield]:
    """Published yields of foods whose name holds all of the words."""
    yields = CookingYield.objects.filter(food_group=group) if group else CookingYield.objects.all()
    for word in words.replace(",", " ").split():
        yields = yields.filter(food__icontains=word)
    return yields
