"""Take-home sheets: issue one, read it, and hand out its PDF byte for byte."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from patients.models import Sheet
from patients.plan_forms import IssueForm
from patients.services import gate_of, issue_sheet, unaltered, work_out
from patients.views.plans import PLANS, show_plan
from recipes.printing import PdfUnavailable


@require_POST
@permission_required("patients.issue_sheet", raise_exception=True)
def sheet_issue(request, pk):
    plan = get_object_or_404(PLANS, pk=pk)
    form = IssueForm(request.POST, gate=gate_of(plan, work_out(plan)), patient=plan.patient)
    if form.is_valid():
        try:
            sheet = issue_sheet(
                plan=plan,
                by=request.user,
                practice=request.practice,
                acknowledged=form.is_acknowledged,
                sign_off=form.sign_off,
            )
        except (ValidationError, PdfUnavailable) as refused:
            form.add_error(None, refused if isinstance(refused, ValidationError) else str(refused))
        else:
            messages.success(request, f"Sheet {sheet.number} was issued.")
            return redirect(sheet)
    return show_plan(request, plan, form)


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def sheet_detail(request, pk):
    sheets = Sheet.objects.select_related("plan", "patient", "issued_by")
    sheet = get_object_or_404(sheets.defer("pdf"), pk=pk)
    context = {"place": "patients", "issued": sheet, "sheet": sheet.record}
    return render(request, "patients/sheet_detail.html", context)


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def sheet_pdf(request, pk):
    """The stored bytes, when they are unaltered; after its expiry only for someone who was told so."""
    sheet = get_object_or_404(Sheet.objects.select_related("patient"), pk=pk)
    if sheet.expired and request.GET.get("expired") != "1":
        return redirect(sheet)
    if not unaltered(sheet):
        messages.error(request, "The stored PDF is not the one that was issued: issue a new sheet.")
        return redirect(sheet)
    name = f"{slugify(sheet.patient.name) or 'dog'}-sheet-{sheet.number}.pdf"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(bytes(sheet.pdf), content_type="application/pdf", headers=headers)
