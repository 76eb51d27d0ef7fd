"""What may stand in for an ingredient: candidates, a substitution's form, and deciding on it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nutrients.models import Food
from recipes import dogs, services, substitution_services
from recipes import substitution_page as pages
from recipes.models import RecipeVersion, Substitution
from recipes.queries import INGREDIENTS, portions_of
from recipes.substitution_forms import SubstitutionForm, as_asked, as_stored
from recipes.substitution_queries import stand_of, substitutions_of, swap_of

VERSIONS = RecipeVersion.objects.select_related("recipe__profile__standard")
SAVE, PUT_IN = "save", "put-in"


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def ingredient_substitutes(request, pk, food):
    """`match`, `dog` and `all` as they are asked for; the table alone for a part of the page."""
    version, replaces = _ingredient(pk, food)
    page = pages.candidates_for(version, replaces, request.GET)
    template = "recipes/_substitutes.html" if request.htmx else "recipes/substitutes.html"
    return render(request, template, {"place": "recipes", "recipe": version.recipe, "page": page})


def _ingredient(pk: int, food: int) -> tuple[RecipeVersion, Food]:
    version = get_object_or_404(VERSIONS, pk=pk)
    lines = version.ingredients.select_related("food")
    line = next((line for line in lines if line.food_id == food), None)
    if line is None:
        raise Http404("This food is not in this version.")
    return version, line.food


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required(("recipes.add_substitution", "recipes.change_recipe"), raise_exception=True)
def substitution_new(request, pk, food, by):
    version, replaces = _ingredient(pk, food)
    stand_in = get_object_or_404(Food.objects.select_related("supplement"), pk=by, discontinued=False)
    new = Substitution(version=version, replaces=replaces, food=stand_in)
    return _work_on(request, new, as_asked(request.GET))


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required(("recipes.change_substitution", "recipes.change_recipe"), raise_exception=True)
def substitution_edit(request, pk):
    kept = _kept(pk)
    return _work_on(request, kept, as_stored(kept))


def _work_on(request, substitution: Substitution, initial: dict):
    lines = list(INGREDIENTS.filter(version=substitution.version))
    about = {"substitution": substitution, "lines": lines}
    form = (
        SubstitutionForm(request.POST, **about)
        if request.POST
        else SubstitutionForm(initial=initial, **about)
    )
    if request.method == "POST" and form.is_valid() and request.POST.get("act") in (SAVE, PUT_IN):
        try:
            return _written(request, form)
        except ValidationError as problem:
            form.add_error(None, problem.messages)
    return _form_page(request, substitution, form)


def _written(request, form: SubstitutionForm):
    """Save it or put it into the recipe. Raises ValidationError with what stands in the way."""
    version, seen = form.substitution.version, request.POST.get("seen", "")
    if request.POST["act"] == PUT_IN:
        return _put_in(request, version, form.swap(), form.substitution.food, seen)
    saved = substitution_services.save_substitution(
        substitution=form.filled(), amounts=form.amounts(), by=request.user, seen=seen
    )
    messages.success(request, f"{saved}: saved as a draft. A practitioner approves it.")
    return _to_list(version)


def _form_page(request, substitution: Substitution, form: SubstitutionForm):
    """The form with its judgement beside; the judgement alone while it is typed."""
    version, judged = substitution.version, None
    swap = _typed_swap(form)
    if swap is not None:
        stands = stand_of(
            version, swap, substitution.food, portions=portions_of(version), besides=substitution.pk
        )
        asked = request.GET.get("dog", "")
        judged = pages.judged(version, stands, substitution, dogs.dog(asked))
    context = {
        "place": "recipes",
        "recipe": version.recipe,
        "version": version,
        "substitution": substitution,
        "form": form,
        "judged": judged,
        "seen": request.POST.get("seen", services.fingerprint(version)),
    }
    template = "recipes/_swap_judgement.html" if request.htmx else "recipes/substitution_form.html"
    return render(request, template, context)


def _typed_swap(form: SubstitutionForm):
    """The swap of a form as it stands; None while something in it is wrong."""
    if form.is_bound:
        return form.swap() if form.is_valid() else None
    shown = {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
    tried = SubstitutionForm(shown, substitution=form.substitution, lines=form.lines)
    return tried.swap() if tried.is_valid() else None


def _kept(pk: int) -> Substitution:
    version = get_object_or_404(Substitution, pk=pk).version
    return substitutions_of(version).get(pk=pk)


def _to_list(version: RecipeVersion):
    return redirect(f"{version.recipe.get_absolute_url()}?version={version.number}#substitutions")


def _put_in(request, version, swap, food, seen):
    made = substitution_services.put_into_recipe(
        version=version, swap=swap, food=food, by=request.user, seen=seen
    )
    named = "Read its kitchen steps: they may still name the old food."
    messages.success(
        request, f"Version {made.number}, a draft, holds {food} instead of {swap.replaces}. {named}"
    )
    return redirect(made.recipe)


@require_POST
@permission_required("recipes.approve_substitution", raise_exception=True)
def substitution_approve(request, pk):
    seen = request.POST.get("seen", "")
    return _decided(
        request, pk, "It is approved and may be offered.", substitution_services.approve_substitution,
        by=request.user, seen=seen,
    )  # fmt: skip


@require_POST
@permission_required("recipes.approve_substitution", raise_exception=True)
def substitution_withdraw(request, pk):
    done = "The approval is withdrawn: it is offered no more."
    return _decided(request, pk, done, substitution_services.withdraw_substitution)


@require_POST
@permission_required("recipes.change_substitution", raise_exception=True)
def substitution_take_out(request, pk):
    return _decided(request, pk, "It is taken out.", substitution_services.take_out_substitution)


@require_POST
@permission_required("recipes.change_recipe", raise_exception=True)
def substitution_put_in(request, pk):
    kept = _kept(pk)
    try:
        return _put_in(request, kept.version, swap_of(kept), kept.food, request.POST.get("seen", ""))
    except ValidationError as problem:
        return _refused(request, kept.version, problem)


def _decided(request, pk, done, decide, **about):
    """Carry a decision out, or say what stands in its way."""
    kept = _kept(pk)
    try:
        decide(substitution=kept, **about)
    except ValidationError as problem:
        return _refused(request, kept.version, problem)
    messages.success(request, done)
    return _to_list(kept.version)


def _refused(request, version: RecipeVersion, problem: ValidationError):
    for message in problem.messages:
        messages.error(request, message)
    return _to_list(version)
