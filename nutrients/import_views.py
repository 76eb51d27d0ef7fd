"""Bringing in a USDA download: the form, the run as it goes on, and what was left out."""

import csv

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nutrients.food_import import runs
from nutrients.import_forms import ImportForm
from nutrients.models import FoodImport

EARLIER_SHOWN = 10
BUSY = "Another import is running. Wait until it is done; they come one after the other."

administer = permission_required("practice.administer", raise_exception=True)


@require_http_methods(["GET", "POST"])
@administer
def import_new(request):
    form = ImportForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            return redirect(
                runs.start_upload(
                    by=request.user,
                    upload=form.cleaned_data["upload"],
                    groups=form.cleaned_data["groups"],
                    dry_run=form.cleaned_data["dry_run"],
                )
            )
        except runs.AlreadyRunning:
            form.add_error(None, BUSY)
    runs.settle_stopped()
    earlier = FoodImport.objects.select_related("started_by")[:EARLIER_SHOWN]
    return render(request, "nutrients/import_new.html", {"place": "foods", "form": form, "earlier": earlier})


@require_safe
@administer
def import_detail(request, pk):
    """The page of a run; while it goes on the page asks for its changing part only."""
    runs.settle_stopped()
    run = get_object_or_404(FoodImport.objects.select_related("started_by"), pk=pk)
    template = "nutrients/_import_run.html" if request.htmx else "nutrients/import_detail.html"
    return render(request, template, {"place": "foods", "run": run})


@require_POST
@administer
def import_again(request, pk):
    earlier = get_object_or_404(FoodImport, pk=pk)
    if not earlier.may_start_again:
        return redirect(earlier)
    try:
        return redirect(runs.start_again(by=request.user, earlier=earlier))
    except runs.AlreadyRunning:
        return redirect("nutrients:import-new")


@require_safe
@administer
def import_left_out(request, pk):
    """What a run left out, as CSV: the reasons, how often, and the examples that were kept."""
    run = get_object_or_404(FoodImport, pk=pk)
    response = HttpResponse(
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="left-out-{run.pk}.csv"'},
    )
    table = csv.writer(response)
    table.writerow(["reason", "count", "example"])
    for left in run.report.get("left_out", []):
        table.writerows([left["reason"], left["count"], example] for example in left["examples"])
    return response
