"""A version as a card to print: what to weigh, how to cook it, and how it stands."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from recipes import version_page
from recipes.models import RecipeVersion
from recipes.printing import PdfUnavailable, printed
from recipes.switches import Switches

PAPERS = ("a4", "letter")


@require_safe
@permission_required("recipes.view_recipe", raise_exception=True)
def version_card(request, pk):
    """`paper`: a4 (for none) or letter."""
    version = get_object_or_404(
        RecipeVersion.objects.select_related("recipe__profile__standard", "approved_by"), pk=pk
    )
    paper = request.GET.get("paper", "")
    context = {
        "recipe": version.recipe,
        "page": version_page.of(version, Switches(only_open=True)),
        "paper": paper if paper in PAPERS else PAPERS[0],
        "today": timezone.localdate(),
    }
    try:
        pdf = printed("recipes/card_print.html", context, most_pages=1)
    except PdfUnavailable as problem:
        return HttpResponse(str(problem), status=503, content_type="text/plain; charset=utf-8")
    name = f"{slugify(version.recipe.title)[:60] or 'recipe'}-{version.number}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
