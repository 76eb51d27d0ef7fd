"""Reformulating a recipe: what is asked on the left, the proposal and what follows from it on the right.

`?replace=<food>&by=<food>&grams=<g>` (foods by their primary keys, grams for the whole batch) starts from the
recipe with that swap made.
"""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods
from django_htmx.http import trigger_client_event

from nutrients import queries as nutrients
from recipes import obstacles
from recipes.models import RecipeVersion
from recipes.reformulate_acceptance import accept
from recipes.reformulate_offer import Offer, from_text
from recipes.reformulate_rows import rearranged
from recipes.reformulate_start import Start, start_of
from recipes.reformulate_worktable import Worktable, laid_out, present_of, propose, show

FOUND_AT_ONCE = 12
WORK_OUT, FIND, JUDGE, ACCEPT = "work-out", "find", "judge", "accept"
# Parts of the page that are asked for alone, by the id of the element they replace.
PARTS = {
    "follows": "recipes/_reformulate_follows.html",
    "choices": "recipes/_reformulate_choices.html",
    "found-foods": "recipes/_reformulate_found.html",
    "mixture": "recipes/_reformulate_mixture.html",
}
TICKS_CHANGED = "The ticks changed after the figures were worked out. This is what follows now: save again."


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("recipes.change_recipe", raise_exception=True)
def version_reformulate(request, pk):
    asked_for = get_object_or_404(RecipeVersion.objects.select_related("recipe__profile__standard"), pk=pk)
    version = asked_for.recipe.latest()
    version.recipe = asked_for.recipe
    if request.method != "POST" and version != asked_for:
        return redirect("recipes:version-reformulate", version.pk)
    start = start_of(version, request.GET.dict())
    try:
        present = present_of(start)
    except ValueError as problem:
        return _page(request, start, None, problem=problem)
    if request.method != "POST":
        table = laid_out(start, present, None)
        propose(table)
        return _page(request, start, table)
    act = request.POST.get("act", WORK_OUT)
    if act in (JUDGE, ACCEPT):
        return _of_proposal(request, laid_out(start, present, request.POST), act)
    return _asked(request, start, present, act)


def _asked(request, start: Start, present, act: str):
    """The left side after something in it changed."""
    data, notice = request.POST, ""
    if act not in (WORK_OUT, FIND):
        data, notice = rearranged(data, start, present.energy.kcal, act)
    table = laid_out(start, present, data)
    alone = request.htmx.target
    if alone not in ("choices", "found-foods"):
        propose(table)
    response = _page(request, start, table, refused=notice, act=act, **_found(request, act))
    return (
        trigger_client_event(response, "choices-changed", after="settle") if alone == "choices" else response
    )


def _found(request, act: str) -> dict:
    """Foods and supplements to add, of those still bought; what must never go in says so."""
    words = request.POST.get("find", "").replace("\x00", "").strip()[:100] if act == FIND else ""
    caution = nutrients.toxic_caution(words)
    found = nutrients.foods_matching(words=words, discontinued=False)[:FOUND_AT_ONCE]
    foods = found if words and not caution else []
    return {"words": words, "foods": foods, "refusal": caution and obstacles.forbidden(caution)}


def _of_proposal(request, table: Worktable, act: str):
    """The proposal that was shown: judged with what is ticked now, or taken over as it was judged."""
    taken = request.POST.getlist("take")
    table.problems = []  # what is typed on the left meanwhile is no part of what was proposed
    try:
        offer = from_text(request.POST.get("proposal", ""))
    except ValueError as problem:
        table.notice = str(problem)
        return _page(request, table.start, table)
    if act == ACCEPT and set(taken) != set(request.POST.get("shown", "").split()):
        table.notice = TICKS_CHANGED
    elif act == ACCEPT:
        try:
            return _accepted(request, table, offer, taken)
        except (ValidationError, ValueError) as problem:
            table.notice = " ".join(getattr(problem, "messages", None) or [str(problem)])
    show(table, offer, taken)
    return _page(request, table.start, table)


def _accepted(request, table: Worktable, offer: Offer, taken: list[str]):
    saved = accept(start=table.start, offer=offer, taken=taken, words=table.words, by=request.user)
    messages.success(request, f"Saved as version {saved.number}, a draft: {saved.note}")
    return redirect(saved.recipe)


def _page(request, start: Start, table: Worktable | None, **said):
    context = {
        "place": "recipes",
        "recipe": start.version.recipe,
        "version": start.version,
        "next_number": start.version.number + 1,
        "start": start,
        "table": table,
        **said,
    }
    template = PARTS.get(request.htmx.target if table else None, "recipes/reformulate.html")
    return render(request, template, context)
