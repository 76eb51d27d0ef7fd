"""Sheets of several dogs at once: choose them, and see how far it is."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from patients import issue_runs
from patients.issue_forms import SeveralForm
from patients.issue_several import candidates, ready
from patients.models import IssueRun
from patients.views.records import posted

BUSY = "Other sheets are being issued just now. Wait until they are done."
may_issue = permission_required("patients.issue_sheet", raise_exception=True)


@require_http_methods(["GET", "HEAD", "POST"])
@may_issue
def issue_several(request):
    found = candidates(timezone.localdate(), request.practice)
    form = SeveralForm(posted(request), candidates=ready(found))
    if request.method == "POST" and form.is_valid():
        try:
            return redirect(
                issue_runs.start(
                    by=request.user,
                    plans=form.plans,
                    practice=request.practice,
                    reason=form.cleaned_data["reason"],
                )
            )
        except issue_runs.AlreadyRunning:
            form.add_error(None, BUSY)
    context = {"place": "patients", "form": form, "waiting": [each for each in found if each.why_not]}
    return render(request, "patients/issue_several.html", context)


@require_safe
@may_issue
def issue_run(request, pk):
    """The page of a run; while it goes on the page asks for its changing part only."""
    issue_runs.settle_stopped()
    run = get_object_or_404(IssueRun.objects.select_related("started_by"), pk=pk)
    template = "patients/_issue_run.html" if request.htmx else "patients/issue_run.html"
    return render(request, template, {"place": "patients", "run": run})
