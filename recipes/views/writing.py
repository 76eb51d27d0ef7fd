"""Writing a recipe: one form, the panel that follows it, and the search for foods."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import trigger_client_event

from nutrients import queries as nutrients
from recipes import conflict, forms, obstacles, panel, pasting, queries, services
from recipes.models import Recipe, RecipeVersion

FOUND_AT_ONCE = 12
NAMES_IN_THE_PAGE = 1_000  # offered while typing without a script; the search finds the others
SAVE, SAVE_OVER = "save", "save-over"
PARTS = {
    forms.LINES: "recipes/_lines.html",
    forms.STEPS: "recipes/_steps.html",
    forms.PASTE: "recipes/_paste_answer.html",
    forms.SHOW: "recipes/_form_body.html",
}


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("recipes.add_recipe", raise_exception=True)
def recipe_new(request):
    return _write(request, Recipe(), None)


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("recipes.change_recipe", raise_exception=True)
def recipe_edit(request, pk):
    recipe = get_object_or_404(Recipe.objects.select_related("profile__standard"), pk=pk)
    return _write(request, recipe, recipe.latest())


def _write(request, recipe: Recipe, version: RecipeVersion | None):
    if request.method != "POST":
        shown = panel.of_version(version) if version else panel.blank()
        return _form_page(request, recipe, version, forms.stored(recipe, version), shown)
    data, act = request.POST.dict(), request.POST.get("act", SAVE)
    if act in (SAVE, SAVE_OVER):
        return _save(request, recipe, version, data, data.get("theirs" if act == SAVE_OVER else "seen", ""))
    typed = forms.as_typed(data, recipe, act)
    if request.htmx:
        return _part(request, version, typed, act)
    worked_out = panel.of_forms(forms.sent(forms.as_data(data, typed), recipe))
    return _form_page(request, recipe, version, typed, worked_out)


def _save(request, recipe: Recipe, version: RecipeVersion | None, data: dict[str, str], seen: str):
    """Save the form on top of the content that was seen; what another saved since is compared instead."""
    sent = forms.sent(data, recipe)
    if sent.is_valid():
        try:
            saved = services.save_version(
                recipe=recipe,
                particulars=sent.version.cleaned_data,
                ingredients=sent.lines.ingredients(),
                kitchen_steps=sent.steps.kitchen_steps(),
                author=request.user,
                seen=seen,
            )
        except ValidationError as problem:
            if recipe.pk and problem.messages == [services.CHANGED_MEANWHILE]:
                return _conflict(request, recipe, sent, data)
            sent.recipe.add_error(None, problem.messages)
        else:
            messages.success(request, f"Saved as version {saved.number}, a draft.", "recipe-saved")
            return redirect(recipe)
    return _form_page(request, recipe, version, sent, panel.of_forms(sent))


def _conflict(request, recipe: Recipe, sent: forms.RecipeForms, data: dict[str, str]):
    """What was about to be saved beside what another saved meanwhile; nothing of either is lost."""
    stored = get_object_or_404(Recipe.objects.select_related("profile__standard"), pk=recipe.pk)
    theirs = stored.latest()
    mine = RecipeVersion(**sent.version.cleaned_data)
    compared = conflict.side_by_side(
        conflict.text_of(recipe, mine, sent.lines.ingredients(), sent.steps.kitchen_steps()),
        conflict.text_of(
            stored, theirs, queries.INGREDIENTS.filter(version=theirs), theirs.kitchen_steps.all()
        ),
    )
    typed = {
        name: text for name, text in data.items() if name not in ("csrfmiddlewaretoken", "act", "theirs")
    }
    context = {
        "place": "recipes",
        "recipe": stored,
        "theirs": theirs,
        "saved": stored.history.first(),
        "compared": compared,
        "typed": typed,
        "next_number": theirs.number + 1,
        "fingerprint": services.fingerprint(theirs),
    }
    return render(request, "recipes/conflict.html", context)


def _form_page(request, recipe, version, shown: forms.RecipeForms, worked_out: panel.Panel):
    context = {
        "place": "recipes",
        "recipe": recipe,
        "version": version,
        "next_number": version and version.number + 1,
        "forms": shown,
        "panel": worked_out,
        **_seen(request, version),
        "food_names": nutrients.foods_matching(discontinued=False).values_list("name", flat=True)[
            :NAMES_IN_THE_PAGE
        ],
    }
    return render(request, "recipes/recipe_form.html", context)


def _seen(request, version: RecipeVersion | None) -> dict[str, object]:
    """The content that was opened, and whether another saved something else since."""
    stored = services.fingerprint(version)
    seen = request.POST.get("seen", stored)
    return {"seen": seen, "changed_meanwhile": seen != stored}


def _part(request, version: RecipeVersion | None, typed: forms.RecipeForms, act: str):
    """The part alone that was worked on: lines after one was added, moved or removed, or a pasted list.

    For `show` it is the whole form with what was typed before, such as a step that was undone.
    """
    template = PARTS.get(act.partition("-")[0], PARTS[forms.LINES])
    response = render(request, template, {"forms": typed, **_seen(request, version)})
    if act == forms.PASTE:
        return response
    return trigger_client_event(response, "recipe-changed", after="settle")


@require_POST
@permission_required("recipes.change_recipe", raise_exception=True)
def version_panel(request):
    """What follows from the form as it is typed; lines with something wrong are named and left out."""
    sent = forms.sent(request.POST.dict() | {pasting.TEXT: ""}, Recipe())
    return render(request, "recipes/_panel_answer.html", {"panel": panel.of_forms(sent), "forms": sent})


@require_POST
@permission_required("recipes.change_recipe", raise_exception=True)
def line_unit(request, place):
    """The units of one line, after its food was typed."""
    lines = forms.as_typed(
        request.POST.dict() | {f"{forms.LINES}-TOTAL_FORMS": str(place + 1)}, Recipe()
    ).lines
    if place >= len(lines.forms):
        raise Http404("There is no such line.")
    context = {"field": lines.forms[place]["unit"], "what": "Unit", "kind": "unit", "number": place + 1}
    return render(request, "recipes/_line_field.html", context)


@require_safe
@permission_required("recipes.change_recipe", raise_exception=True)
def food_search(request):
    """Foods to put into a line, as buttons, of those still bought; what must never go in says so."""
    words = request.GET.get("find", "").replace("\x00", "").strip()[:100]
    caution = nutrients.toxic_caution(words)
    bought = nutrients.foods_matching(words=words, discontinued=False)
    found = bought[:FOUND_AT_ONCE] if words and not caution else []
    context = {"words": words, "foods": found, "refusal": caution and obstacles.forbidden(caution)}
    return render(request, "recipes/_food_search.html", context)
