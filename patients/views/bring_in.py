"""Dogs, owners and weigh-ins brought in from a CSV file: the file, its columns, a look, and it is done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from patients.bring_in import services
from patients.bring_in.columns import COLUMNS, NEEDED
from patients.bring_in.forms import ColumnsForm, FileForm
from patients.models import BroughtFile

SHOWN = 50
may_bring_in = permission_required("patients.add_broughtfile", raise_exception=True)


def _own(request, pk) -> BroughtFile:
    return get_object_or_404(BroughtFile, pk=pk, person=request.user)


@require_http_methods(["GET", "HEAD", "POST"])
@may_bring_in
def bring_in_new(request):
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        brought = services.begin(person=request.user, content=form.cleaned_data["upload"])
        return redirect("patients:bring-in-columns", brought.pk)
    files = BroughtFile.objects.filter(person=request.user).defer("content", "left_out")
    needed = [column.label for column in COLUMNS if column.key in NEEDED]
    context = {
        "place": "patients",
        "form": form,
        "files": files[:SHOWN],
        "columns": COLUMNS,
        "needed": needed,
    }
    return render(request, "patients/bring_in_new.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@may_bring_in
def bring_in_columns(request, pk):
    brought = _own(request, pk)
    if brought.done_at:
        return redirect(brought)
    before = brought.columns or services.matched_before(request.user)
    form = ColumnsForm(request.POST or None, table=services.table_of(brought), before=before)
    if request.method == "POST" and form.is_valid():
        brought.columns, brought.units = form.chosen(), form.units()
        brought.order = form.cleaned_data["order"]
        brought.save()
        return redirect(brought)
    return render(
        request, "patients/bring_in_columns.html", {"place": "patients", "form": form, "brought": brought}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@may_bring_in
def bring_in_detail(request, pk):
    brought = _own(request, pk)
    if not brought.columns:
        return redirect("patients:bring-in-columns", brought.pk)
    if request.method == "POST":
        services.bring_in(brought=brought, by=request.user)
        messages.success(request, "The file was brought in.")
        return redirect(brought)
    context = {"place": "patients", "brought": brought, "counts": brought.counts}
    if not brought.done_at:
        found = services.look(brought)
        context |= {
            "counts": services.counts_of(found),
            "wrong": sorted(found.wrong.items())[:SHOWN],
            "more": max(0, len(found.wrong) - SHOWN),
            "dogs": found.dogs[:SHOWN],
        }
    return render(request, "patients/bring_in_detail.html", context)


@require_safe
@may_bring_in
def bring_in_left_out(request, pk):
    brought = _own(request, pk)
    headers = {"Content-Disposition": f'attachment; filename="left-out-{brought.pk}.csv"'}
    text = services.left_out_csv(brought)
    return HttpResponse(text, content_type="text/csv; charset=utf-8", headers=headers)


@require_POST
@may_bring_in
def bring_in_throw_away(request, pk):
    services.throw_away(_own(request, pk))
    messages.success(request, "The file was thrown away.")
    return redirect("patients:bring-in-new")
