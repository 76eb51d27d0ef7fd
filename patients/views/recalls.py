"""Corrections of the nutrient data: whom they touch, and which owners were told."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from nutrients.asked_keys import asked_key
from nutrients.corrections import correction
from patients import recall_queries, recall_services
from patients.models import Recall
from patients.recall_forms import CallForm

CORRECTIONS_A_PAGE = 50


@require_safe
@permission_required("patients.view_recall", raise_exception=True)
def recall_list(request):
    rows = recall_queries.listed_corrections()
    page = Paginator(rows, CORRECTIONS_A_PAGE).get_page(request.GET.get("page"))
    unseen = sum(row.recall is None for row in rows)
    return render(request, "patients/recall_list.html", {"place": "today", "page": page, "unseen": unseen})


@require_POST
@permission_required("patients.add_recall", raise_exception=True)
def recall_look_into(request):
    """Work out whom the correction of this `kind` and first `entry` touches, also once more."""
    key = asked_key(request.POST.get("entry", ""))
    found = correction(request.POST.get("kind", ""), key) if key is not None else None
    if found is None:
        raise Http404("There is no such correction.")
    recall = recall_services.look_into(correction=found, by=request.user)
    messages.success(request, "It was worked out whom the correction touches.")
    return redirect(recall)


@require_safe
@permission_required("patients.view_recall", raise_exception=True)
def recall_detail(request, pk):
    recall = get_object_or_404(Recall, pk=pk)
    calls = [(call, CallForm(instance=call)) for call in recall_queries.calls_of(recall)]
    waiting = sum(call.is_waiting for call, _ in calls)
    steps = [(label, before, recall.after.get(label)) for label, before in recall.before.items()]
    context = {"place": "today", "recall": recall, "steps": steps, "calls": calls, "waiting": waiting}
    return render(request, "patients/recall_detail.html", context)


@require_POST
@permission_required("patients.change_recallcall", raise_exception=True)
def recall_call(request, pk):
    """Keep how far one owner was told; the answer is the row alone for htmx."""
    call = get_object_or_404(recall_queries.CALLS, pk=pk)
    form = CallForm(request.POST, instance=call)
    if form.is_valid():
        recall_services.record_call(call=form.instance, by=request.user)
        if not request.htmx:
            return redirect(call.recall)
        call = recall_queries.CALLS.get(pk=pk)
        form = CallForm(instance=call)
    template = "patients/_recall_call.html" if request.htmx else "patients/recall_call.html"
    return render(request, template, {"place": "today", "call": call, "form": form, "saved": not form.errors})
