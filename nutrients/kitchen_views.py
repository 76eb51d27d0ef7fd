"""What cooking leaves: retention factors, the yields of batches, and the published yields of foods."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from nutrients import changes, kitchen_page, kitchen_queries
from nutrients.kitchen_forms import (
    BatchYieldForm,
    NewBatchYieldForm,
    RetentionFilterForm,
    RetentionForm,
    YieldSearchForm,
)
from nutrients.models import BatchYield, Method, Retention

PER_PAGE = 60
METHODS = dict(Method.choices)

may_see = permission_required("nutrients.view_retention", raise_exception=True)
read_or_write = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
@may_see
def retention_list(request):
    form = RetentionFilterForm(request.GET)
    wanted = form.wanted()
    context = {
        "place": "foods",
        "form": form,
        "wanted": wanted,
        "method": METHODS.get(wanted.get("method"), "every method"),
        "matrix": kitchen_page.retention_matrix(kitchen_queries.retention_factors(**wanted), wanted, METHODS),
    }
    return render(request, "nutrients/retention_list.html", context)


@require_safe
@may_see
def batch_yield_list(request):
    matrix = kitchen_page.batch_yield_matrix(kitchen_queries.batch_yields(), METHODS)
    return render(request, "nutrients/batch_yield_list.html", {"place": "foods", "matrix": matrix})


@require_safe
@may_see
def cooking_yield_list(request):
    form = YieldSearchForm(request.GET)
    page = Paginator(kitchen_queries.yields_matching(**form.wanted()), PER_PAGE)
    context = {"place": "foods", "form": form, "page": page.get_page(request.GET.get("page"))}
    return render(request, "nutrients/cooking_yield_list.html", context)


@read_or_write
@may_see
def retention_detail(request, pk):
    factors = Retention.objects.select_related("nutrient").with_changed()
    return _row_page(request, factors, pk, RetentionForm, "nutrients:retention-list")


@read_or_write
@may_see
def batch_yield_detail(request, pk):
    return _row_page(
        request, BatchYield.objects.with_changed(), pk, BatchYieldForm, "nutrients:batch-yield-list"
    )


def _row_page(request, rows, pk: int, form_class, back: str):
    """A factor with its changes; who may change it finds the form for it."""
    row = get_object_or_404(rows, pk=pk)
    form = form_class(request.POST if request.method == "POST" else None, instance=rows.get(pk=pk))
    kind = row._meta.model_name
    if request.method == "POST":
        if not request.user.has_perm(f"nutrients.change_{kind}"):
            raise PermissionDenied
        if form.is_valid() and changes.written(form, changes.change, row=form.instance, **form.why()):
            messages.success(request, f"{form.instance}, changed with its reason.")
            return redirect(back)
    context = {
        "place": "foods",
        "row": row,
        "form": form,
        "may_change": request.user.has_perm(f"nutrients.change_{kind}"),
        "changes": changes.changes_of(row, form_class.Meta.fields),
    }
    return render(request, f"nutrients/{kind}_detail.html", context)


@read_or_write
@permission_required("nutrients.add_batchyield", raise_exception=True)
def batch_yield_new(request):
    asked = {"retention_group": request.GET.get("group", ""), "method": request.GET.get("method", "")}
    form = NewBatchYieldForm(request.POST if request.method == "POST" else None, initial=asked)
    if form.is_valid():
        form.instance._change_reason = form.cleaned_data["reason"]
        form.save()
        messages.success(request, f"{form.instance}, added.")
        return redirect("nutrients:batch-yield-list")
    return render(request, "nutrients/batchyield_form.html", {"place": "foods", "form": form})
