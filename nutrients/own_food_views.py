"""Foods and supplements that the practice enters, single values, estimates, and what is no longer bought."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from nutrients import own_foods, queries
from nutrients.entry_forms import SAVE
from nutrients.models import Food, FoodValue, Nutrient, Supplement
from nutrients.own_food_forms import ChangeFoodForm, GuaranteeFoodForm, LabelFoodForm, LaboratoryFoodForm
from nutrients.supplement_forms import SupplementForm
from nutrients.value_forms import EstimateForm, ValueForm

KINDS = {"label": LabelFoodForm, "laboratory": LaboratoryFoodForm, "guaranteed": GuaranteeFoodForm}
FOUND_AT_ONCE = 20
PUBLISHED = "A published food stays as it is: copy it and change the copy, or correct a single value of it."

may_add = permission_required("nutrients.add_food", raise_exception=True)
may_change = permission_required("nutrients.change_food", raise_exception=True)


def _to_save(request, form) -> bool:
    """Was saving asked for, and does nothing stand against it?"""
    return form.is_valid() and request.POST.get("act") == SAVE and not request.htmx


def _work_on(request, form, template: str, **context):
    """The form and what follows from it; what follows alone for htmx."""
    shown = "nutrients/_workings.html" if request.htmx else f"nutrients/{template}"
    return render(request, shown, {"place": "foods", "form": form, **context})


def _done(request, food: Food, said: str):
    messages.success(request, f"{food} {said}.")
    return redirect(food)


@require_safe
@may_add
def food_new(request):
    """Where the figures come from; a food to copy is looked for here."""
    words = request.GET.get("copy", "").strip()[:100]
    same = Food.objects.filter(name__iexact=words).first() if words else None
    if same:
        return redirect("nutrients:food-copy", same.pk)
    found = queries.foods_matching(words=words)[:FOUND_AT_ONCE] if words else []
    return render(request, "nutrients/food_new.html", {"place": "foods", "words": words, "found": found})


@may_add
def food_enter(request, kind):
    if kind not in KINDS:
        raise Http404("Foods are entered from a label, a laboratory's report or a guaranteed analysis.")
    form = KINDS[kind](request.POST or None)
    if _to_save(request, form):
        typed = {"values": form.values.values(), "reason": form.cleaned_data["reason"]}
        return _done(request, own_foods.add_food(food=form.food(), by=request.user, **typed), "was entered")
    return _work_on(request, form, "food_enter.html", kind=kind)


@may_add
def food_copy(request, pk):
    original = get_object_or_404(Food.objects.select_related("supplement"), pk=pk)
    if hasattr(original, "supplement"):
        return _enter_supplement(request, original.supplement)
    form = ChangeFoodForm(request.POST or None, food=original, is_copy=True)
    if _to_save(request, form):
        typed = {
            "food": form.food(),
            "values": form.values.values(),
            "unknown": form.unknown(),
            "reason": form.cleaned_data["reason"],
        }
        food = own_foods.copy_food(original=original, by=request.user, **typed)
        return _done(request, food, f"was made from {original}")
    return _work_on(request, form, "food_change.html", food=original)


@may_change
def food_edit(request, pk):
    food = get_object_or_404(Food.objects.select_related("supplement"), pk=pk)
    if not food.own:
        messages.error(request, PUBLISHED)
        return redirect(food)
    if hasattr(food, "supplement"):
        return _change_supplement(request, food.supplement)
    form = ChangeFoodForm(request.POST or None, food=food, is_copy=False)
    if _to_save(request, form):
        typed = {
            "food": form.food(),
            "values": form.values.values(),
            "unknown": form.unknown(),
            "reason": form.cleaned_data["reason"],
        }
        return _done(request, own_foods.change_food(by=request.user, **typed), "was changed")
    return _work_on(request, form, "food_change.html", food=food)


@may_add
def supplement_new(request):
    return _enter_supplement(request)


def _enter_supplement(request, original: Supplement | None = None):
    form = SupplementForm(request.POST or None, supplement=original, is_copy=original is not None)
    if _to_save(request, form):
        supplement = own_foods.add_supplement(by=request.user, **form.kept_parts())
        return _done(request, supplement.food, "was entered")
    return _work_on(request, form, "supplement_form.html", original=original)


def _change_supplement(request, supplement: Supplement):
    form = SupplementForm(request.POST or None, supplement=supplement)
    if _to_save(request, form):
        own_foods.change_supplement(by=request.user, **form.kept_parts(changed=True))
        return _done(request, supplement.food, "was changed")
    return _work_on(request, form, "supplement_form.html", changed=supplement)


@may_change
def value_edit(request, pk, key):
    """Another figure for a value that stands: of an own food, or by a practitioner of any."""
    values = FoodValue.objects.select_related("food", "nutrient")
    stored = get_object_or_404(values, food=pk, nutrient__key=key)
    food, nutrient = stored.food, stored.nutrient
    guessed = stored.kind in own_foods.NOT_KNOWN
    if not (food.own or guessed or request.user.has_perm("nutrients.correct_foodvalue")):
        raise PermissionDenied
    form = ValueForm(request.POST or None, stored=stored)
    if _to_save(request, form):
        reason = form.cleaned_data["reason"]
        if form.withdraws:
            own_foods.withdraw_value(food=food, nutrient=nutrient, by=request.user, reason=reason)
            return _done(request, food, f"has no value for {nutrient} any more")
        own_foods.set_value(food=food, value=form.value(), by=request.user, reason=reason)
        return _done(request, food, f"has another value for {nutrient}")
    history = FoodValue.history.filter(food_id=food.pk, nutrient=nutrient).select_related("history_user")
    context = {"food": food, "nutrient": nutrient, "stored": stored, "history": history}
    return _work_on(request, form, "value_form.html", **context)


@may_change
def estimate_new(request, pk, key):
    food = get_object_or_404(Food, pk=pk)
    nutrient = get_object_or_404(Nutrient, key=key, derived=False)
    stored = food.values.filter(nutrient=nutrient).first()
    if stored and stored.kind != FoodValue.Kind.BOUND:
        return redirect("nutrients:value-edit", food.pk, nutrient.key)
    form = EstimateForm(request.POST or None, food=food, nutrient=nutrient)
    if _to_save(request, form):
        typed = {"value": form.value(), "reason": form.cleaned_data["reason"]}
        own_foods.estimate(food=food, by=request.user, **typed)
        return _done(request, food, f"has an estimate for {nutrient}")
    context = {"food": food, "nutrient": nutrient, "stored": stored}
    return _work_on(request, form, "value_form.html", **context)


@require_POST
@may_change
def food_discontinue(request, pk):
    food = get_object_or_404(Food, pk=pk)
    gone = request.POST.get("discontinued") == "yes"
    own_foods.set_discontinued(food=food, discontinued=gone, by=request.user)
    return _done(request, food, "is marked as discontinued" if gone else "is offered again")
