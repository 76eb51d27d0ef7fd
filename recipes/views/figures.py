"""How the library's figures are kept: what is fresh, the renewal that goes on, and all of it anew."""

from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from recipes import renewal_runs
from recipes.models import FiguresRenewal, VersionFigures


@require_http_methods(["GET", "POST"])
@permission_required("recipes.view_recipe", raise_exception=True)
def figures_renewal(request):
    """While a renewal goes on the page asks for its changing part only."""
    if request.method == "POST":
        if not request.user.has_perm("recipes.change_recipe"):
            raise PermissionDenied
        renewal_runs.start_all(by=request.user)
        return redirect("recipes:figures-renewal")
    renewal_runs.settle_stopped()
    context = {
        "place": "recipes",
        "run": FiguresRenewal.objects.select_related("started_by").first(),
        "versions": VersionFigures.objects.count(),
        "stale": VersionFigures.objects.stale().count(),
    }
    template = "recipes/_figures_renewal.html" if request.htmx else "recipes/figures_renewal.html"
    return render(request, template, context)
