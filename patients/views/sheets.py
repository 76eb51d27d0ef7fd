"""Take-home sheets: issue one, read it, and hand out its PDF byte for byte."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from patients.issue_forms import IssueForm, WithdrawSheetForm
from patients.models import Sheet
from patients.owner_language import told_as_written
from patients.pdf import CARDS, render_card
from patients.services import gate_of, issue_sheet, preview_sheet, unaltered, work_out
from patients.sheet_letter import draft
from patients.views.plans import PLANS, show_plan
from patients.views.records import posted
from patients.withdrawing import withdraw
from recipes.printing import PdfUnavailable


@require_POST
@permission_required("patients.issue_sheet", raise_exception=True)
def sheet_issue(request, pk):
    plan = get_object_or_404(PLANS, pk=pk)
    form = IssueForm(request.POST, gate=gate_of(plan, work_out(plan), request.practice), patient=plan.patient)
    if form.is_valid():
        try:
            sheet = issue_sheet(
                plan=plan,
                by=request.user,
                practice=request.practice,
                acknowledged=form.is_acknowledged,
                sign_off=form.sign_off,
                reason=form.cleaned_data.get("reason", ""),
            )
        except (ValidationError, PdfUnavailable) as refused:
            form.add_error(None, refused if isinstance(refused, ValidationError) else str(refused))
        else:
            messages.success(request, f"Sheet {sheet.number} was issued.")
            return redirect(sheet)
    return show_plan(request, plan, form)


@require_safe
@permission_required("patients.view_plan", raise_exception=True)
def sheet_preview(request, pk):
    """The sheet as it would be issued now, marked as a preview; nothing is kept."""
    plan = get_object_or_404(PLANS, pk=pk)
    try:
        printed = preview_sheet(plan, request.user, request.practice)
    except (ValidationError, PdfUnavailable) as refused:
        reasons = refused.messages if isinstance(refused, ValidationError) else [str(refused)]
        for reason in reasons:
            messages.error(request, reason)
        return redirect(plan)
    return _download(printed, f"{slugify(plan.patient.name) or 'dog'}-preview")


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def sheet_detail(request, pk):
    sheets = Sheet.objects.select_related("plan", "patient__owner", "issued_by", "withdrawal__by")
    sheet = get_object_or_404(sheets.defer("pdf"), pk=pk)
    context = {"place": "patients", "issued": sheet, "sheet": sheet.record}
    return render(request, "patients/sheet_detail.html", context)


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def sheet_pdf(request, pk):
    """The stored bytes, when they are unaltered; of one that is over only for someone who was told so."""
    sheet = get_object_or_404(Sheet.objects.select_related("patient", "withdrawal"), pk=pk)
    if not sheet.in_use and request.GET.get("expired") != "1":
        return redirect(sheet)
    if not unaltered(sheet):
        messages.error(request, "The stored PDF is not the one that was issued: issue a new sheet.")
        return redirect(sheet)
    return _download(bytes(sheet.pdf), _file_name(sheet))


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def sheet_letter(request, pk):
    """A draft of the e-mail to the owner, with the PDF in it. Nothing is sent."""
    sheet = get_object_or_404(Sheet.objects.select_related("patient__owner", "withdrawal"), pk=pk)
    if not (sheet.in_use and unaltered(sheet)):
        return redirect(sheet)
    name = _file_name(sheet)
    with told_as_written(sheet.record):
        message = draft(sheet.record, bytes(sheet.pdf), f"{name}.pdf", sheet.patient.owner.email)
    headers = {"Content-Disposition": f'attachment; filename="{name}.eml"'}
    return HttpResponse(message, content_type="message/rfc822", headers=headers)


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("patients.add_sheetwithdrawal", raise_exception=True)
def sheet_withdraw(request, pk):
    sheet = get_object_or_404(
        Sheet.objects.select_related("patient__owner", "withdrawal").defer("pdf"), pk=pk
    )
    if sheet.withdrawn:
        return redirect(sheet)
    form = WithdrawSheetForm(posted(request))
    if request.method == "POST" and form.is_valid():
        withdraw(sheet=sheet, reason=form.cleaned_data["reason"], by=request.user)
        messages.success(request, f"Sheet {sheet.number} was withdrawn. A task says to tell the owner.")
        return redirect(sheet)
    return render(
        request, "patients/sheet_withdraw.html", {"place": "patients", "sheet": sheet, "form": form}
    )


@require_safe
@permission_required("patients.view_sheet", raise_exception=True)
def card_pdf(request, pk, card):
    """A part of the sheet on paper of its own, drawn from the frozen record; none once it is over."""
    if card not in CARDS:
        raise Http404
    sheet = get_object_or_404(Sheet.objects.select_related("patient", "withdrawal").defer("pdf"), pk=pk)
    if not sheet.in_use:
        return redirect(sheet)
    try:
        printed = render_card(sheet.record, card)
    except PdfUnavailable as refused:
        messages.error(request, str(refused))
        return redirect(sheet)
    return _download(printed, f"{slugify(sheet.patient.name) or 'dog'}-{card}-{sheet.number}")


def _file_name(sheet: Sheet) -> str:
    return f"{slugify(sheet.patient.name) or 'dog'}-sheet-{sheet.number}"


def _download(content: bytes, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}.pdf"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)
